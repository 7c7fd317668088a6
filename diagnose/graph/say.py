"""A text with its numbers in it: ``<head-come-in>`` reads "121 °C (250 °F)"."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from diagnose.graph.model import Fact, Knowledge, Variant, Word
from diagnose.graph.wording import celsius, fahrenheit

REFERENCE = re.compile(r"<([a-z0-9]+(?:-[a-z0-9]+)*)>")
"""A fact's id in angle brackets."""

BEHIND_ARTICLE = r"\b(?:an?|the|its|your|this|that|each|wooden|cable)\s+"
"""What stands before the name of a thing, and not before the same word as a verb."""

_AS_ONE = {"min": ("minute", "minutes"), "hours": ("hour", "hours"), "turns": ("turn", "turns")}
_AS_ONE |= {"months": ("month", "months"), "times": ("time", "times")}
_OTHER = {"bar": ("psi", 14.5038), "psi": ("bar", 0.0689476), "m": ("ft", 3.28084), "cm": ("in", 0.393701)}
_OTHER |= {"g": ("oz", 0.0352740)}
"""The unit that others know it by, and how many of it make one: NIST SP 811, appendix B, from memory."""
_HALVES = {"min": "half a minute", "hours": "half an hour", "turns": "half a turn"}


LONG = 120.0
"""Seconds from which on people speak of minutes."""


def say(text: str, knowledge: Knowledge, engine: Variant | None = None) -> str:
    """Return `text` with each fact's number and unit in place of its id; `engine` may have its own numbers.

    A reference to no known fact is left as it is.
    """

    def number(found: re.Match[str]) -> str:
        fact = knowledge.facts.get(found[1])
        if fact is None:
            return found[0]
        return amount(fact, engine.own.get(found[1]) if engine else None)

    return REFERENCE.sub(number, text)


def amount(fact: Fact, own: float | None = None) -> str:
    """Return a fact's value or range with its unit; `own` is an engine's own value, in the fact's unit."""
    if own is not None:
        values: tuple[float, ...] = (own,)
    elif fact.range is not None:
        values = fact.range
    else:
        values = (fact.value or 0.0,)
    return _spoken(values, fact.unit)


def when_well(then: float, unit: str) -> str:
    """Say what an engine read while it ran well: "3 seconds when it ran well"."""
    return f"{said_reading(then, unit, then)} when it ran well"


def then_and_now(then: float, now: float, unit: str) -> str:
    """Write two readings side by side: "3 seconds when it ran well, 7 now"; temperatures in both units."""
    told = said_reading(now, unit, min(then, now))
    short = told if unit == "°C" else told.partition(" ")[0]
    return f"{said_reading(then, unit, min(then, now))} when it ran well, {short} now"


def said_reading(value: float, unit: str, least: float = 0.0) -> str:
    """Write a reading, a temperature in both units; long seconds (by the `least` of those beside it) as minutes."""
    if unit == "°C":
        return _spoken((value,), unit)
    if unit != "s":
        return f"{round(value, 1):g} {unit}"
    value, name = (value / 60, "minute") if least >= LONG else (value, "second")
    return f"{round(value, 1):g} {name if value == 1 else f'{name}s'}"


def _spoken(values: tuple[float, ...], unit: str) -> str:
    if unit in ("°C", "°F"):
        in_c = values if unit == "°C" else tuple(map(celsius, values))
        in_f = values if unit == "°F" else tuple(map(fahrenheit, values))
        return f"{_joined(map(round, in_c))} °C ({_joined(map(round, in_f))} °F)"
    if unit in _HALVES and values == (0.5,):
        return _HALVES[unit]
    if unit in _AS_ONE:
        one, many = _AS_ONE[unit]
        return f"{_joined(values)} {one if values == (1,) else many}"
    space = "" if unit in ("", "%") else " "
    said = f"{_joined(values)}{space}{unit}"
    if unit not in _OTHER:
        return said
    other, times = _OTHER[unit]
    return f"{said} ({_joined(float(f'{value * times:.2g}') for value in values)} {other})"


def _joined(values: Iterable[float]) -> str:
    """Write one number, or "least to most"."""
    return " to ".join(dict.fromkeys(map(_figures, values)))


def _figures(value: float) -> str:
    """Write a number with no more than three figures behind its size."""
    return f"{round(value)}" if abs(value) >= 100 else f"{value:.3g}"


def terms_in(text: str, words: Mapping[str, Word]) -> list[str]:
    """Return the words of the trade that a text uses, in the order in which they come; the longest name wins."""
    found: dict[str, int] = {}
    taken: list[tuple[int, int]] = []
    names = [(name, word) for word, entry in words.items() for name in (word, *entry.also)]
    read = text.lower()
    for name, word in sorted(names, key=lambda pair: -len(pair[0])):
        if name.lower() not in read:  # far quicker than to search for each of them
            continue
        before = BEHIND_ARTICLE if words[word].thing else ""
        for hit in re.finditer(rf"{before}\b{re.escape(name)}(?:s|es)?\b", text, re.IGNORECASE):
            if not any(start < hit.end() and hit.start() < end for start, end in taken):
                taken.append(hit.span())
                found[word] = min(found.get(word, hit.start()), hit.start())
    return sorted(found, key=lambda word: found[word])
