"""Entries by kind and id as they are written, one layer of files on top of another."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

import msgspec

from diagnose.graph.causes import AuthorsOwn
from diagnose.graph.model import CASES, FORMAT, KINDS
from diagnose.graph.places import Data, Parsed, Path, parse
from diagnose.graph.problem import Place, Problem, did_you_mean
from diagnose.graph.schema import KEEP, ids

Files = Mapping[str, str | Problem]
"""The text of each file by its name inside the knowledge folder (``checks/fuel.yaml``), or why it has none."""

Parse = Callable[[str, str], Parsed]
"""Says what the text of a file is; the first is the name that places carry."""


class Layers:
    """Entries by kind and id as they are written, the later layers in place of the earlier ones."""

    def __init__(self, parsed: Parse = parse) -> None:
        self.parsed = parsed
        self.entries: dict[str, dict[str, Data]] = {kind: {} for kind in (*KINDS, CASES)}
        self.places: dict[Path, Place] = {}
        self.problems: list[Problem] = []
        self.fresh: set[Path] = set()
        """The entries of the layer that is being added."""
        self.replaced: set[Path] = set()
        """The entries that stand in place of an earlier layer's."""
        self.broken: set[str] = set()
        """The kinds of which a file can't be read."""
        self.added = 0
        self.own: set[str] = set()
        """The files of the layers above the first."""
        self.by_author: dict[str, Place] = {}
        """The entries in these files, by id."""

    @property
    def written(self) -> AuthorsOwn:
        """What the layers above the first hold."""
        return AuthorsOwn(frozenset(self.own), self.by_author)

    def add(self, files: Files, root: str) -> None:
        """Add a layer."""
        self.fresh = set()
        self.added += 1
        for name in sorted(files):
            content = files[name]
            if self.added > 1:
                self.own.add(f"{root}/{name}" if root else name)
            if isinstance(content, Problem):
                self.problems.append(content)
                self.broken.add(_kind(name))
            else:
                self.file(name, content, f"{root}/{name}" if root else name)

    def file(self, name: str, text: str, shown: str) -> None:
        """Add a file; `shown` is its name in problems."""
        top = Place(shown, 1, 1)
        kind = _kind(name)
        if kind not in self.entries or not name.endswith(".yaml") or name == f"{CASES}.yaml":
            what = "a file is named after its kind, or lies in a folder that is: checks.yaml, checks/fuel.yaml"
            stem = re.sub(r"\.(ya?ml|txt)\b.*", "", kind.casefold())
            if stem in self.entries and not name.endswith(".yaml"):
                what = "a file of knowledge ends in .yaml: give this one that ending"
            else:
                what += did_you_mean(stem, self.entries).replace("_", "/")
            self.problems.append(Problem(top, "unknown-file", what))
            return
        data, places, problems = self.parsed(shown, text)
        self.problems += problems
        if not isinstance(data, dict):
            self.broken.add(kind)
            if not problems:
                what = "the file is empty" if data is None else "a file holds 'format: 1' and entries by id, no list"
                self.problems.append(Problem(top, "no-entries", what))
            return
        written = data.pop("format", FORMAT if kind == CASES else None)  # a case may leave it out
        if type(written) is not int or written != FORMAT:
            what = f"the file starts with 'format: {FORMAT}'" if written is None else _other_format(written)
            self.problems.append(Problem(places.get(("format",), top), "format", what))
        if kind == CASES:
            data = {re.sub(r"^cases/|\.yaml$", "", name): data}
            places = {(next(iter(data)), *path): place for path, place in places.items()}
        self.put(kind, data, places)

    def put(self, kind: str, data: dict[str, Data], places: dict[Path, Place]) -> None:
        """Add a file's entries."""
        self._without_loose(kind, data, places)
        data, places = self._with_ids(kind, data, places)
        taken = {name for name in data if (kind, name) in self.fresh}
        for name in taken:
            first = self.places[kind, name]
            what = f"'{name}' is in {first} too; keep one of them"
            self.problems.append(Problem(places[name,], "duplicate-id", what))
        replaced = {(kind, name) for name in data if name in self.entries[kind] and name not in taken}
        kept = set()
        for name, entry in list(data.items()):
            if not isinstance(entry, dict) or name in taken:
                continue
            for slip in filter(_is_slip_of_keep, list(entry)):
                what = f"unknown field '{slip}' in '{name}'; did you mean '{KEEP}'"
                self.problems.append(Problem(places[name, slip], "unknown-field", what))
                places[name, KEEP], entry[KEEP] = places[name, slip], True
                del entry[slip]
            if KEEP not in entry:
                continue
            if why := self._cant_keep(kind, name, entry.pop(KEEP)):
                self.problems.append(Problem(places[name, KEEP], "keep-the-rest", why))
                del data[name]
            else:
                kept.add((kind, name))
        replaced &= {(kind, name) for name in data}
        self.replaced |= replaced
        if gone := replaced - kept:
            self.places = {path: place for path, place in self.places.items() if path[:2] not in gone}
        data |= {name: _on_top(self.entries[kind][name], data[name]) for _, name in kept}
        self.places |= {(kind, *path): place for path, place in places.items() if path and path[0] not in taken}
        if self.added > 1:
            self.by_author |= {name: places[name,] for name in data}
        for name in data.keys() - taken:
            self.fresh.add((kind, name))
        self.entries[kind] |= {name: entry for name, entry in data.items() if name not in taken}

    def _without_loose(self, kind: str, data: dict[str, Data], places: dict[Path, Place]) -> None:
        """Take out what an entry holds and stands in no entry, and say where it belongs."""
        fields = {field.encode_name for field in msgspec.structs.fields(KINDS[kind])} if kind in KINDS else set()
        loose = [name for name in data if name in fields]
        if all(isinstance(data[name], dict) for name in loose):
            return  # an id may be called like a field
        what = f"'{loose[0]}' stands in no entry: write a line with its id and a ':' above it, and set it in below that"
        self.problems.append(Problem(places[loose[0],], "no-entries", what))
        for name in loose:
            del data[name]

    def _with_ids(
        self, kind: str, data: dict[str, Data], places: dict[Path, Place]
    ) -> tuple[dict[str, Data], dict[Path, Place]]:
        """Return the entries with each id that is written a little wrong put right, and told: nothing follows of it."""
        pattern = str(ids(kind).get("pattern", "")) if kind in KINDS else ""
        for name in list(data) if pattern else ():
            meant = re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-")
            if re.fullmatch(pattern, name) or not re.fullmatch(pattern, meant) or meant in data:
                continue
            self.problems.append(Problem(places[name,], "bad-name", f"{no_id(name)}; write '{meant}'"))
            data = {meant if one == name else one: entry for one, entry in data.items()}
            places = {(meant, *path[1:]) if path[:1] == (name,) else path: place for path, place in places.items()}
        return data, places

    def _cant_keep(self, kind: str, name: str, keep: Data) -> str:
        """Return why an entry can't name only what it changes; "" where it can."""
        if keep is not True:
            return f"write '{KEEP}: true', or leave it out"
        if not isinstance(self.entries[kind].get(name), dict) or (kind, name) in self.fresh:
            hint = did_you_mean(name, self.entries[kind])
            if other := next((one for one, entries in self.entries.items() if name in entries and one != kind), ""):
                hint = f"; '{name}' is one of the {other}: put it there"
            return f"there is no '{name}' of which to keep the rest{hint}"
        return ""


def _on_top(below: Data, above: Data) -> Data:
    """Return what two values of one key come to: maps are joined, and of everything else the upper one counts."""
    if not isinstance(below, dict) or not isinstance(above, dict):
        return above
    return {**below, **{key: _on_top(below.get(key), value) for key, value in above.items()}}


def _other_format(written: Data) -> str:
    """Say that a file is of another format, and what to do about it."""
    what = f"format {str(written).lower()} is not read here; {FORMAT} is"
    if isinstance(written, str) and written.strip() == str(FORMAT):
        return f"a number stands behind 'format:', without quotes: format: {FORMAT}"
    if isinstance(written, int) and written is not True and written > FORMAT:
        return f"{what}. A newer program can read it, if it was written for one"
    return what


def _kind(name: str) -> str:
    """Return the kind of a file: its folder, or its name; in ``simulated`` that of the folder or file within."""
    first, *rest = name.removesuffix(".yaml").split("/")
    return f"{first}_{rest[0]}" if first == "simulated" and rest else first


def _is_slip_of_keep(key: str) -> bool:
    """Say whether a key is meant for the one that keeps the rest; of most the first letter tells that they are not."""
    return key[:1] in "kK" and key != KEEP and bool(did_you_mean(key.casefold(), [KEEP], 0.8))


def no_id(name: str) -> str:
    """Say that a name is no id."""
    return f"'{name[:60]}' is not an id: use at most 60 lower-case letters and digits, joined by hyphens"
