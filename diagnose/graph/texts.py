"""The rules of the texts: numbers are quoted from the facts, and what has a name in the trade has its word.

Besides, for an author who asks: which texts are long, and which are read at over twelve years.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from importlib import import_module
from typing import Any

import msgspec

from diagnose.graph.model import KINDS, Knowledge
from diagnose.graph.places import Path
from diagnose.graph.problem import Problem
from diagnose.graph.routes import Proof
from diagnose.graph.say import REFERENCE, say

PROSE = frozenset(
    {
        *("ask", "because", "close", "do", "does", "fails", "few", "hear", "how", "means", "misleads", "name"),
        *("notice", "now", "open", "opens", "parts", "recheck", "refer", "say", "sounds", "stop when", "text"),
        *("climate", "seen by", "taken for", "tool", "tools", "what", "why", "words"),
    }
)
"""The keys whose values people read. The notes of facts, which tell where a number is from, are not among them."""

BY_NAME = frozenset({"may be open", "sits"})
"""The keys that hold such a text for each of several names."""

LONG = 60
"""More words than this without a break are too many to read at a bench."""

FEW = 12
"""Texts of fewer words than this are too short for a formula of reading."""

PLAIN_AGE, FIRST_GRADE = 12, 6
"""Years: whoever is that old should read every text; the age in the first grade."""

_DIGITS = r"\d{1,3}(?:[ ,.]\d{3})+(?:[.,]\d+)?|\d+(?:[.,/]\d+)?|[½¼¾]"
_WORDS = (
    "one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|fifteen|twenty|thirty|forty|fifty|sixty|ninety"
    "|hundred|dozen|half|quarter|twelfth"
)
_BETWEEN = r"(?:[ -](?:a|an|of|to|or|and|cubic|full|good|long|more|short|square|whole))*"
_SIGNS = (
    r"[°%″′Ω]|(?:[hk]?Pa|m?bar|psi|mins?|secs?|hrs?|[cm]l|cc|[cmkµμ]?m|ft|k?g|oz|lbs?|rpm|mph|km/h|kt|[kMG]?Hz|dB|mAh"
    r"|m?[AV]|k?W|Nm?|l|s|h|C|F|[kM]?Ω|k?ohms?)[²³]?(?!\w)"
)
_EXACT = (
    "day|degree|litre|(?:centi|milli|kilo)?metre|minute|month|volt|week|year|inch|foot|feet|yard|mile|pint|gallon|ounce"
    "|pound|(?:kilo)?gram|rev|revolution|newton|decibel|ampere|watt|ohm|atmosphere"
)
_UNITS = rf"(?:per ?cent|times|(?:{_EXACT}|hour|second|turn)(?:e?s)?)\b"
_NUMBER = re.compile(
    rf"(?<![\w-])(?:(?:{_DIGITS}){_BETWEEN}[ -]?(?:{_SIGNS}|{_UNITS})|(?:{_WORDS}){_BETWEEN}[ -](?:{_UNITS})"
    rf"|an? (?:degree|litre|metre|millimetre|minute|month|volt|gram|ounce|bar)\b)",
    re.IGNORECASE,
)
"""A number with a unit. 'A second', 'an hour', 'a turn' pass: they are said of a moment, of a step, of a thing done."""

PlacedText = tuple[Path, str]


def problems(proof: Proof) -> Iterator[Problem]:
    """Yield each number that stands in a text by itself, and each thing of the trade without a word."""
    for path, text in texts(proof.knowledge):
        for found in _NUMBER.finditer(REFERENCE.sub(" ", text)):
            what = f"'{found[0]}' is a number of the trade: give it an entry in facts.yaml and quote it as <its-id>"
            yield proof.problem("number-in-text", what, *path)
    yield from _missing(proof)


def texts(known: Knowledge) -> Iterator[PlacedText]:
    """Yield every text that people read, with the path to it."""
    for kind in KINDS:
        if kind != "facts":
            yield from _texts(msgspec.to_builtins(getattr(known, kind)), (kind,), "")


def _texts(data: Any, path: Path, key: str) -> Iterator[PlacedText]:
    if isinstance(data, str) and key in PROSE | BY_NAME:
        yield path, data
    elif isinstance(data, dict):
        for name, part in data.items():
            yield from _texts(part, (*path, name), key if key in BY_NAME else name)
    elif isinstance(data, (list, tuple)):
        for number, part in enumerate(data):
            yield from _texts(part, (*path, str(number)), key)


def _missing(proof: Proof) -> Iterator[Problem]:
    """See that tools, parts, areas, screws and what is opened are found among the words, and a part of each fault."""
    terms = {_base(term) for name, word in proof.knowledge.words.items() for term in (name, *word.also)}
    for path, thing in _things(proof.knowledge):
        for one in re.split(r", | or | and ", thing.split(" with ")[0]):
            words = _base(one).split()
            if not any(" ".join(words[start:]) in terms for start in range(len(words))):
                what = f"words.yaml has no entry for '{one}', nor for what it ends in"
                yield proof.problem("word-missing", what, *path)
    for name, fault in proof.knowledge.faults.items():
        words = [_base(word) for word in fault.name.replace(",", "").split()]
        spans = (words[start:end] for start in range(len(words)) for end in range(start + 1, len(words) + 1))
        if not any(" ".join(span) in terms for span in spans):
            what = f"words.yaml explains no word of '{fault.name}'"
            yield proof.problem("word-missing", what, "faults", name, "name")


def _base(term: str) -> str:
    """Return a term in lower case and without the ending of a plural."""
    return term.casefold().removesuffix("s")


def _things(known: Knowledge) -> Iterator[PlacedText]:
    """Yield what is named in lists and not in sentences: it must all be found among the words."""
    for name, check in known.checks.items():
        yield from ((("checks", name, "tools", str(n)), tool) for n, tool in enumerate(check.tools))
        if check.opens is not None:
            yield ("checks", name, "opens"), check.opens
    for name, fault in known.faults.items():
        here = ("faults", name)
        yield (*here, "area"), fault.area
        if fault.screw is not None:
            yield (*here, "screw"), fault.screw
        yield from (((*here, "mend", "tools", str(n)), tool) for n, tool in enumerate(fault.mend.tools))
        yield from (((*here, "mend", "parts", str(n)), part) for n, part in enumerate(fault.mend.parts))
    for name, step in known.preparations.items():
        yield from ((("preparations", name, "tools", str(n)), tool) for n, tool in enumerate(step.tools))


def long_texts(known: Knowledge) -> list[tuple[int, Path]]:
    """Return the texts of more than `LONG` words without a break, the longest first, each with its words."""
    found = [(max(len(part.split()) for part in text.split("\n")), path) for path, text in texts(known)]
    return sorted(((count, path) for count, path in found if count > LONG), reverse=True)


def read_late(known: Knowledge, years: float = PLAIN_AGE) -> list[tuple[float, Path]] | None:
    """Return the texts that are read at over `years`, the hardest first; None when no library is there to measure it.

    The formula is Kincaid's: 0.39 words/sentence + 11.8 syllables/word - 15.59 is the grade of a school of the United
    States (Kincaid and others, 1975; from memory), and a first grader is six years old.
    """
    try:
        measure: Any = import_module("readability").getmeasures
    except ImportError:
        return None
    found: list[tuple[float, Path]] = []
    for path, text in texts(known):
        sentences = [words for part in re.split(r"[.!?:]+(?:\s|$)", say(text, known)) if (words := _words(part))]
        if sum(map(len, sentences)) >= FEW:
            grades = measure([" ".join(words) for words in sentences], lang="en")["readability grades"]
            found.append((round(float(grades["Kincaid"]) + FIRST_GRADE - 1, 1), path))
    return sorted(((age, path) for age, path in found if age > years), reverse=True)


def _words(text: str) -> list[str]:
    return re.findall(r"[^\W\d_]+(?:['-][^\W\d_]+)*", text)
