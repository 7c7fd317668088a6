"""Knowledge from the text of its files: every problem of every file at once, or the whole of it.

Nothing here opens a file: `diagnose.graph.load` does that.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import zip_longest
from typing import Any, NamedTuple

import msgspec

from diagnose.graph import always, failings, lessons, link, numbers, simulated
from diagnose.graph.causes import AuthorsOwn
from diagnose.graph.model import CASES, FORMAT, KINDS, Case, Knowledge
from diagnose.graph.places import Data, Path, one_line, parse
from diagnose.graph.problem import KnowledgeError, Place, Problem, did_you_mean
from diagnose.graph.schema import KEEP, ids
from diagnose.graph.shape import shaped

Files = Mapping[str, str | Problem]
"""The text of each file by its name inside the knowledge folder (``checks/fuel.yaml``), or why it has none."""


class FilesRead(NamedTuple):
    """What the files hold."""

    knowledge: Knowledge
    places: dict[Path, Place]
    """Where each part stands: ``("checks", id, "answers", answer, "if", fault)`` and the like, as written."""
    cases: dict[str, Case]
    """The worked cases, by file name without its ending."""
    entries: Mapping[str, Mapping[str, Any]] = {}
    """Every entry by kind and id, as it is written."""
    replaced: frozenset[Path] = frozenset()
    """The entries that stand in place of an earlier layer's."""
    written: AuthorsOwn = AuthorsOwn()
    """What the later layers hold: the author's own."""


def read(files: Files, overlays: Sequence[Files] = (), roots: Sequence[str] = ()) -> FilesRead:
    """Read knowledge, with overlays on top: an id that is there already is replaced, a new one added.

    `roots` are put before the file names in problems, one for each layer. Raises `KnowledgeError`.
    """
    layers = _Layers()
    for layer, root in zip_longest((files, *overlays), roots, fillvalue=""):
        if isinstance(layer, Mapping):
            layers.add(layer, root)
    return _joined(layers)


def changed(found: FilesRead, kind: str, name: str, data: Data) -> FilesRead:
    """Read again what was read, with one entry written otherwise, as in a file. Raises `KnowledgeError`."""
    layers = _Layers()
    layers.entries = {one: {**entries} for one, entries in found.entries.items()}
    layers.entries[kind][name] = data
    layers.places, layers.replaced = found.places, set(found.replaced)
    layers.own, layers.by_author = set(found.written.files), dict(found.written.entries)
    made = _joined(layers)
    return made._replace(knowledge=msgspec.structs.replace(made.knowledge, digest=found.knowledge.digest))


def read_case(file: str, text: str, knowledge: Knowledge) -> Case:
    """Read one worked case (or the answers for a walk) that stands outside the knowledge. Raises `KnowledgeError`."""
    layers = _Layers()
    layers.file(f"{CASES}/case.yaml", text, file)
    book = link.Book(knowledge, {kind: getattr(knowledge, kind) for kind in KINDS}, (), {}, layers.places)
    made, wrong = _cases(layers, book)
    if problems := [*layers.problems, *wrong]:
        raise KnowledgeError(map(one_line, problems))
    return made["case"]


class _Layers:
    """Entries by kind and id as they are written, the later layers in place of the earlier ones."""

    def __init__(self) -> None:
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
            if name.endswith(".yml") and kind.removesuffix(".yml") in self.entries:
                what = "a file of knowledge ends in .yaml: give this one that ending"
            else:
                what += did_you_mean(kind.removesuffix(".yml"), self.entries).replace("_", "/")
            self.problems.append(Problem(top, "unknown-file", what))
            return
        data, places, problems = parse(shown, text)
        self.problems += problems
        if not isinstance(data, dict):
            self.broken.add(kind)
            if not problems:
                what = "the file is empty" if data is None else "a file holds 'format: 1' and entries by id, no list"
                self.problems.append(Problem(top, "no-entries", what))
            return
        written = data.pop("format", FORMAT if kind == CASES else None)  # a case may leave it out
        if type(written) is not int or written != FORMAT:
            what = "the file starts with 'format: 1'" if written is None else f"format {written} is not read here; 1 is"
            self.problems.append(Problem(places.get(("format",), top), "format", what))
        if kind == CASES:
            data = {re.sub(r"^cases/|\.yaml$", "", name): data}
            places = {(next(iter(data)), *path): place for path, place in places.items()}
        self.put(kind, data, places)

    def put(self, kind: str, data: dict[str, Data], places: dict[Path, Place]) -> None:
        """Add a file's entries."""
        taken = {name for name in data if (kind, name) in self.fresh}
        for name in taken:
            first = self.places[kind, name]
            self.problems.append(Problem(places[name,], "duplicate-id", f"'{name}' is in {first} too"))
        replaced = {(kind, name) for name in data if name in self.entries[kind] and name not in taken}
        kept = set()
        for name, entry in list(data.items()):
            if not isinstance(entry, dict) or KEEP not in entry:
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

    def _cant_keep(self, kind: str, name: str, keep: Data) -> str:
        """Return why an entry can't name only what it changes; "" where it can."""
        if keep is not True:
            return f"'{KEEP}:' is true, or left out"
        if not isinstance(self.entries[kind].get(name), dict) or (kind, name) in self.fresh:
            return f"there is no '{name}' of which to keep the rest{did_you_mean(name, self.entries[kind])}"
        return ""


def _on_top(below: Data, above: Data) -> Data:
    """Return what two values of one key come to: maps are joined, and of everything else the upper one counts."""
    if not isinstance(below, dict) or not isinstance(above, dict):
        return above
    return {**below, **{key: _on_top(below.get(key), value) for key, value in above.items()}}


def _kind(name: str) -> str:
    """Return the kind of a file: its folder, or its name; in ``simulated`` that of the folder or file within."""
    first, *rest = name.removesuffix(".yaml").split("/")
    return f"{first}_{rest[0]}" if first == "simulated" and rest else first


def _joined(layers: _Layers) -> FilesRead:
    """Make structs of the entries, and see that they fit together."""
    raw = {kind: entries for kind, entries in layers.entries.items() if kind != CASES}
    problems = [*layers.problems, *_bad_ids(layers)]
    faults = [fault for fault in raw["faults"].values() if isinstance(fault, dict)]
    areas = {fault["area"] for fault in faults if isinstance(fault.get("area"), str)}
    book = link.Book(Knowledge(), raw, areas, raw, layers.places, layers.broken, layers.replaced)
    bare: list[str] = []
    for kind in ("facts", *(kind for kind in KINDS if kind != "facts")):  # the others quote the facts
        made: dict[str, Any] = {}
        for name, data in raw[kind].items():
            data, wrong = numbers.put_in_place(kind, name, data, book, bare)
            problems += wrong
            struct, wrong = shaped(kind, data, (kind, name), book.at)
            problems += wrong
            if struct is not None:
                made[name] = numbers.in_celsius(struct) if kind == "facts" else struct
        book = book._replace(knowledge=msgspec.structs.replace(book.knowledge, **{kind: made}))
    cases, wrong = _cases(layers, book)
    problems += [
        *wrong,
        *link.problems(book),
        *lessons.links(book),
        *simulated.links(book),
        *failings.links(book),
        *always.links(book),
        *numbers.problems(book),
    ]
    if problems:
        raise KnowledgeError(map(one_line, problems), layers.written)
    rows = simulated.with_alike(book.knowledge)
    knowledge = msgspec.structs.replace(book.knowledge, bare=tuple(bare), simulated_faults=rows)
    return FilesRead(knowledge, layers.places, cases, layers.entries, frozenset(layers.replaced), layers.written)


def _cases(layers: _Layers, book: link.Book) -> tuple[dict[str, Case], list[Problem]]:
    """Make the worked cases."""
    made: dict[str, Case] = {}
    problems: list[Problem] = []
    for name, data in layers.entries[CASES].items():
        case, wrong = shaped(CASES, data, (CASES, name), book.at)
        problems += wrong
        if case is not None:
            made[name] = case
            problems += link.case_problems(case, book, CASES, name)
    return made, problems


def _bad_ids(layers: _Layers) -> Iterator[Problem]:
    """Yield the ids that are no ids for their kind."""
    for kind in KINDS:
        rule = ids(kind)
        for name in layers.entries[kind]:
            place = layers.places[kind, name]
            if "enum" in rule and name not in rule["enum"]:
                what = f"'{name}' is no bench state{did_you_mean(name, rule['enum'])}"
                yield Problem(place, "bad-name", what)
            elif not re.fullmatch(rule.get("pattern", "(?s).+"), name) or len(name) > rule.get("maxLength", 60):
                what = f"'{name[:60]}' is not an id: use at most 60 lower-case letters and digits, joined by hyphens"
                yield Problem(place, "bad-name", what)
