"""YAML text as plain data, with a side table that says where each part of it stands.

Only the plain part of YAML is read: no anchors, no aliases, no tags, one document. `true` and `false` become booleans
and numbers become numbers; everything else stays text (`yes` and `no` too), and a key is always text. The parser's
events are walked here instead of being composed, so that a hostile file is refused at its twenty-first level.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from math import isfinite
from typing import Any, NamedTuple

import yaml

from diagnose.graph.problem import Place, Problem

DEPTH = 20
"""A file nests no deeper than this."""

LONGEST = 400
"""The characters that a problem's line may have; the middle of a longer one is left out."""

Path = tuple[str, ...]
"""The keys (and the numbers of list items, from 0) that lead to a part of the data."""

Data = dict[str, Any] | list[Any] | str | int | float | bool | None
"""What a file holds. None stands where a problem was found."""

_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_NUMBER = re.compile(r"[-+]?(0|[1-9][0-9]{0,17}|(?=\.))(\.[0-9]+)?([eE][-+]?[0-9]{1,3})?")
_WORDS = {"true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False}
_EMPTY = frozenset({"", "~", "null", "Null", "NULL"})

_TURNS_DIRECTION = "\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069"
_CONTROL = "\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff\ud800-\udfff"
_HOSTILE_IN_FILE = re.compile(f"[{_CONTROL}{_TURNS_DIRECTION}]")
_HOSTILE_IN_TEXT = re.compile(f"[\r{_CONTROL}{_TURNS_DIRECTION}]")

_FRIENDLY = {
    "mapping values are not allowed in this context": "a second ': ' in one text; put the text in quotes",
    "found character that cannot start any token": "a text can't start with this sign; put the text in quotes",
    "found unexpected end of stream": "a quote is opened and never closed",
    "found unknown escape character": "a backslash in double quotes; use single quotes",
    "did not find expected key": "this line doesn't fit the one above; look at its indent and its quotes",
    "did not find expected '-' indicator": "the list ends here without warning; look at the indent",
    "did not find expected ',' or ']'": "a '[' is not closed, or a comma is missing",
    "did not find expected ',' or '}'": "a '{' is not closed, or a comma is missing",
    "did not find expected node content": "a '{' or '[' is not closed",
}

_NEVER_CLOSED = frozenset(
    {"found unexpected end of stream", "did not find expected ',' or ']'", "did not find expected ',' or '}'"}
)
"""Of these the place that matters is where the quote or the bracket was opened."""

TAB = "a tab sets this line in, and a file of knowledge is set in by spaces; put two spaces in its place"

_TOO_DEEP = "exceeded maximum nesting depth"  # the parser looks ahead, and may be first to say so
_FRIENDLY[_TOO_DEEP] = f"nested deeper than {DEPTH} levels"


class Parsed(NamedTuple):
    """A file's data, the places of its keys and list items by path, and what is wrong with it as YAML."""

    data: Data
    places: dict[Path, Place]
    problems: list[Problem]


class _GivenUp(Exception):  # noqa: N818 - it ends the reading of a file, and is no error of the program
    """The rest of the file is not worth reading."""


def parse(file: str, text: str) -> Parsed:
    """Read `text`; `file` is the name that problems carry."""
    builder = _Builder(file)
    text = builder.clean(text.removeprefix("\ufeff"))
    data: Data = None
    try:
        data = builder.document(yaml.parse(text, Loader=_LOADER))
    except yaml.MarkedYAMLError as error:
        never_closed = str(error.problem) in _NEVER_CLOSED
        mark = (error.context_mark if never_closed else error.problem_mark) or error.problem_mark or error.context_mark
        place = Place(file, mark.line + 1, mark.column + 1) if mark else Place(file, 1, 1)
        said = str(error.problem)
        what = _FRIENDLY.get(said, f"this is not YAML: {said}")
        if tab := _tab_before(text, place):
            place, what = Place(file, *tab), TAB
        builder.problems.append(
            Problem(place, "too-deep", what) if said == _TOO_DEEP else Problem(place, "syntax", what)
        )
    except _GivenUp:
        pass
    return Parsed(data, builder.places, builder.problems)


def _tab_before(text: str, place: Place) -> tuple[int, int] | None:
    """Return line and column of a tab that sets a line in, there or just above: the parser stumbles over it later."""
    rows = text.split("\n")
    for line in range(min(place.line, len(rows)), max(place.line - 3, 0), -1):
        row = rows[line - 1]
        if "\t" in (set_in := row[: len(row) - len(row.lstrip())]):
            return line, set_in.index("\t") + 1
    return None


class _Builder:
    """Builds one file's data from the parser's events."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.places: dict[Path, Place] = {}
        self.problems: list[Problem] = []
        self.events: Iterator[Any] = iter(())

    def clean(self, text: str) -> str:
        """Report characters that would act on a terminal, and put a space in the place of each."""
        for found in _HOSTILE_IN_FILE.finditer(text):
            line_start = text.rfind("\n", 0, found.start()) + 1
            place = Place(self.file, text.count("\n", 0, found.start()) + 1, found.start() - line_start + 1)
            self.problems.append(Problem(place, "hostile-text", _hostile(found[0])))
            if len(self.problems) >= 20:  # a binary file needs no longer list
                break
        return _HOSTILE_IN_FILE.sub(" ", text)

    def document(self, events: Iterator[Any]) -> Data:
        """Return the data of the only document, or None for an empty file."""
        self.events = events
        data: Data = None
        documents = 0
        for event in events:
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    self.problem(event, "one-document", "a second '---': a file holds one document")
                    raise _GivenUp
            elif isinstance(event, yaml.NodeEvent):
                data = self.node(event, ())
        return data

    def node(self, event: Any, path: Path) -> Data:
        """Return the data of the node that `event` begins."""
        self.places.setdefault(path, self.place(event))
        if isinstance(event, yaml.AliasEvent):
            self.problem(event, "alias", f"'*{event.anchor}': aliases are not used here; write it out")
            return None
        if event.anchor is not None:
            self.problem(event, "anchor", f"'&{event.anchor}': anchors are not used here; put the text in quotes")
        if event.tag is not None:
            self.problem(event, "tag", f"'{event.tag}': tags are not used here; put the text in quotes")
        if isinstance(event, yaml.ScalarEvent):
            return self.scalar(event, path)
        if len(path) >= DEPTH:
            self.problem(event, "too-deep", f"nested deeper than {DEPTH} levels")
            raise _GivenUp
        return self.items(path) if isinstance(event, yaml.SequenceStartEvent) else self.mapping(path)

    def items(self, path: Path) -> list[Any]:
        """Return the items of a list that has begun."""
        made: list[Any] = []
        for event in self.events:
            if isinstance(event, yaml.SequenceEndEvent):
                break
            made.append(self.node(event, (*path, str(len(made)))))
        return made

    def mapping(self, path: Path) -> dict[str, Any]:
        """Return the keys and values of a mapping that has begun."""
        made: dict[str, Any] = {}
        for event in self.events:
            if isinstance(event, yaml.MappingEndEvent):
                break
            key = self.key(event, path)
            inner = (*path, key)
            if key in made:
                first = self.places[inner]
                self.problem(event, "duplicate-key", f"'{key}' is set twice; the first is in line {first.line}")
            else:
                self.places[inner] = self.place(event)
            value = self.node(next(self.events), inner)
            made.setdefault(key, value)
        return made

    def key(self, event: Any, path: Path) -> str:
        """Return a key, which is always text."""
        if not isinstance(event, yaml.ScalarEvent) or not event.value:
            self.problem(event, "key-not-text", "a key must be a text")
            self.node(event, (*path, ""))
            return ""
        if event.anchor is not None or event.tag is not None:
            self.problem(event, "key-not-text", "a key has no anchor and no tag; put it in quotes")
        self.refuse_hostile(event)
        return str(event.value)

    def scalar(self, event: Any, path: Path) -> Data:
        """Return a text, a number or a boolean."""
        self.refuse_hostile(event)
        text = str(event.value)
        if event.style or not event.implicit[0]:  # quoted, or a block
            return text
        if text in _EMPTY:
            name = f"'{path[-1]}'" if path else "the file"
            hint = "; a text with a comma needs quotes inside {}" if path and " " in path[-1] else ""
            self.problem(event, "empty-value", f"empty value: nothing stands after {name}{hint}")
            return None
        if text in _WORDS:
            return _WORDS[text]
        if found := _NUMBER.fullmatch(text):
            number = float(text) if found[2] or found[3] else int(text)
            return number if isfinite(number) else text
        return text

    def refuse_hostile(self, event: Any) -> None:
        """Report a character that would act on a terminal and came in as an escape."""
        if found := _HOSTILE_IN_TEXT.search(event.value):
            self.problem(event, "hostile-text", _hostile(found[0]))

    def place(self, event: Any) -> Place:
        """Return where `event` begins."""
        return Place(self.file, event.start_mark.line + 1, event.start_mark.column + 1)

    def problem(self, event: Any, rule: str, what: str) -> None:
        """Note a problem."""
        self.problems.append(Problem(self.place(event), rule, what))


def unfinished(data: Data) -> bool:
    """Say whether something in `data` could not be read (and has been reported)."""
    parts = data.values() if isinstance(data, dict) else data if isinstance(data, list) else ()
    return data is None or any(map(unfinished, parts))


def one_line(problem: Problem) -> Problem:
    """Return a problem that is safe to print and short, whatever the author wrote."""

    def safe(text: str) -> str:
        return " ".join(_HOSTILE_IN_TEXT.sub("\N{REPLACEMENT CHARACTER}", text).split())

    what = safe(problem.what)
    if len(what) > LONGEST:
        what = f"{what[: LONGEST // 2]} ... {what[-LONGEST // 2 :]}"
    return Problem(problem.place._replace(file=safe(problem.place.file)), problem.rule, what)


def _hostile(character: str) -> str:
    """Say what is wrong with a character that would act on a terminal."""
    turns = re.fullmatch(f"[{_TURNS_DIRECTION}]", character)
    what = "a mark that turns the writing direction" if turns else "a control character"
    return f"{what} (U+{ord(character):04X}); take it out"
