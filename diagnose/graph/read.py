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
from diagnose.graph.layers import Files, Layers, Parse, no_id
from diagnose.graph.model import CASES, KINDS, Case, Knowledge
from diagnose.graph.places import Data, Path, one_line, parse
from diagnose.graph.problem import KnowledgeError, Place, Problem, did_you_mean
from diagnose.graph.schema import KEEP, ids
from diagnose.graph.shape import shaped


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


def read(files: Files, overlays: Sequence[Files] = (), roots: Sequence[str] = (), parsed: Parse = parse) -> FilesRead:
    """Read knowledge, with overlays on top: an id that is there already is replaced, a new one added.

    `roots` are put before the file names in problems, one for each layer; `parsed` says what a text is, without reading
    it where it knows it. Raises `KnowledgeError`.
    """
    layers = Layers(parsed)
    for layer, root in zip_longest((files, *overlays), roots, fillvalue=""):
        if isinstance(layer, Mapping):
            layers.add(layer, root)
    return _joined(layers)


def changed(found: FilesRead, kind: str, name: str, data: Data) -> FilesRead:
    """Read again what was read, with one entry written otherwise, as in a file. Raises `KnowledgeError`."""
    layers = Layers()
    layers.entries = {one: {**entries} for one, entries in found.entries.items()}
    layers.entries[kind][name] = data
    layers.places, layers.replaced = found.places, set(found.replaced)
    layers.own, layers.by_author = set(found.written.files), dict(found.written.entries)
    made = _joined(layers)
    return made._replace(knowledge=msgspec.structs.replace(made.knowledge, digest=found.knowledge.digest))


def read_case(file: str, text: str, knowledge: Knowledge) -> Case:
    """Read one worked case (or the answers for a walk) that stands outside the knowledge. Raises `KnowledgeError`."""
    layers = Layers()
    layers.file(f"{CASES}/case.yaml", text, file)
    book = link.Book(knowledge, {kind: getattr(knowledge, kind) for kind in KINDS}, (), {}, layers.places)
    made, wrong = _cases(layers, book)
    if problems := [*layers.problems, *wrong]:
        raise KnowledgeError(map(one_line, problems))
    return made["case"]


def _joined(layers: Layers) -> FilesRead:
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
            problems += _as_a_whole(name, wrong, layers, kind)
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


def _cases(layers: Layers, book: link.Book) -> tuple[dict[str, Case], list[Problem]]:
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


def _bad_ids(layers: Layers) -> Iterator[Problem]:
    """Yield the ids that are no ids for their kind."""
    for kind in KINDS:
        rule = ids(kind)
        for name in layers.entries[kind]:
            place = layers.places[kind, name]
            if "enum" in rule and name not in rule["enum"]:
                what = f"'{name}' is no bench state{did_you_mean(name, rule['enum'])}"
                yield Problem(place, "bad-name", what)
            elif not re.fullmatch(rule.get("pattern", "(?s).+"), name) or len(name) > rule.get("maxLength", 60):
                yield Problem(place, "bad-name", no_id(name))


def _as_a_whole(name: str, wrong: list[Problem], layers: Layers, kind: str) -> list[Problem]:
    """Return the problems of an entry, as one where it takes the place of another and is not written as a whole."""
    missing = [one for one in wrong if one.rule == "missing-field" and one.place == layers.places[kind, name]]
    if (kind, name) not in layers.replaced or not missing:
        return wrong
    lacks = ", ".join(sorted({re.findall("'[^']+'$", one.what)[-1] for one in missing}))
    what = (
        f"'{name}' is there already: with '{KEEP}: true' it changes only what you name; to replace it, it lacks {lacks}"
    )
    return [*(one for one in wrong if one not in missing), missing[0]._replace(what=what)]
