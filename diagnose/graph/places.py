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

from diagnose.graph import stumbles
from diagnose.graph.problem import Place, Problem
from diagnose.graph.stumbles import DEPTH

LONGEST = 400
"""The characters that a problem's line may have; the middle of a longer one is left out."""

ENOUGH = 20
"""Problems after which a file is read no further: it is of another sort, and needs no longer list."""

Path = tuple[str, ...]
"""The keys (and the numbers of list items, from 0) that lead to a part of the data."""

Data = dict[str, Any] | list[Any] | str | int | float | bool | None
"""What a file holds. None stands where a problem was found."""

_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_NUMBER = re.compile(r"[-+]?(0|[1-9][0-9]{0,17}|(?=\.))(\.[0-9]+)?([eE][-+]?[0-9]{1,3})?")
_WORDS = {"true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False}
_EMPTY = frozenset({"", "~", "null", "Null", "NULL"})

MERGE = "<<"
"""What YAML merges one map into another by."""

_TURNS_DIRECTION = "\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069"
_CONTROL = "\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff\ud800-\udfff"
_HOSTILE_IN_FILE = re.compile(f"[{_CONTROL}{_TURNS_DIRECTION}]")
_HOSTILE_IN_TEXT = re.compile(f"[\r{_CONTROL}{_TURNS_DIRECTION}]")


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
        builder.problems.append(stumbles.told(file, text, error))
    except _GivenUp:
        pass
    return Parsed(data, builder.places, builder.problems)


class _Builder:
    """Builds one file's data from the parser's events."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.places: dict[Path, Place] = {}
        self.problems: list[Problem] = []
        self.events: Iterator[Any] = iter(())
        self.anchors: set[str] = set()
        """What has been told of: an alias of it needs no word of its own."""

    def clean(self, text: str) -> str:
        """Report characters that would act on a terminal, and put a space in the place of each."""
        for found in _HOSTILE_IN_FILE.finditer(text):
            line_start = text.rfind("\n", 0, found.start()) + 1
            place = Place(self.file, text.count("\n", 0, found.start()) + 1, found.start() - line_start + 1)
            self.problems.append(Problem(place, "hostile-text", _hostile(found[0])))
            if len(self.problems) >= ENOUGH:
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
            if event.anchor not in self.anchors:
                what = f"'*{event.anchor}': aliases are not used here; write it out, or put the text in quotes"
                self.problem(event, "alias", what)
            return None
        if event.anchor is not None:
            what = "anchors are not used here, nor below; write out what it stands for, or put the text in quotes"
            if not self.anchors:
                self.problem(event, "anchor", f"'&{event.anchor}': {what}")
            self.anchors.add(event.anchor)
            self.passed_over(event, path)
            return None
        if event.tag is not None:
            tag = event.tag.replace("tag:yaml.org,2002:", "!!")
            self.problem(event, "tag", f"'{tag}': tags are not used here; take it out, or put the text in quotes")
            self.passed_over(event, path)
            return None
        if isinstance(event, yaml.ScalarEvent):
            return self.scalar(event, path)
        if len(path) >= DEPTH:
            self.problem(event, "too-deep", f"nested deeper than {DEPTH} levels")
            raise _GivenUp
        return self.items(path) if isinstance(event, yaml.SequenceStartEvent) else self.mapping(path)

    def passed_over(self, event: Any, path: Path) -> None:
        """Pass over what has a tag or an anchor."""
        event.tag = event.anchor = None
        self.node(event, path)

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
            if key == MERGE and not event.style:
                self.merged(event, inner)
                continue
            if not isinstance(event, yaml.ScalarEvent):
                self.node(next(self.events), inner)
                continue
            if key in made:
                first = self.places[inner]
                self.problem(event, "duplicate-key", f"'{key}' is set twice; the first is in line {first.line}")
            else:
                self.places[inner] = self.place(event)
            behind = next(self.events)
            if self.stands_alone(key, event, behind):
                self.places.pop(inner)
                continue
            value = self.node(behind, inner)
            made.setdefault(key, value)
        return made

    def stands_alone(self, key: str, event: Any, behind: Any) -> bool:
        """Say whether a key inside {} has no value: it is mostly half of a text or of a number, and reported so."""
        empty = isinstance(behind, yaml.ScalarEvent) and not behind.value and not behind.style
        if not empty or behind.start_mark.index != event.end_mark.index:
            return False
        what = f"empty value: nothing stands after '{key}'; a text with a comma needs quotes inside {{}}"
        if key.isdigit():
            what = f"a number has a point and no comma: write .{key} in place of ,{key}"
        self.problem(event, "empty-value", what)
        return True

    def merged(self, event: Any, path: Path) -> None:
        """Report a merge key, and pass over what it would merge."""
        self.problem(event, "alias", f"'{MERGE}' merges nothing here; write the keys out, each in its entry")
        if not isinstance(merged := next(self.events), yaml.AliasEvent):
            self.node(merged, path)

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
            self.problem(event, "empty-value", f"empty value: nothing stands after {name}")
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
        """Note a problem; after too many the rest of the file is not read."""
        if len(self.problems) + 1 < ENOUGH:
            self.problems.append(Problem(self.place(event), rule, what))
        else:
            self.problems.append(Problem(self.place(event), rule, f"{what}; what stands below is not read"))
            raise _GivenUp


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
