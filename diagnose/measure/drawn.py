"""The knowledge with one thing written otherwise at random: a number, a label, a branch, an entry that is left out."""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import Any, get_args

from diagnose.graph.model import BenchState, Screw, Way
from diagnose.graph.model.base import GoodFor, Grounding, Guard, LookKind, Setting
from diagnose.graph.places import Path
from diagnose.graph.read import FilesRead
from diagnose.measure.mutants import GONE, EntryPlace, Mutant, put


def drawn(found: FilesRead, count: int, seed: int = 1) -> Iterator[Mutant]:
    """Yield `count` changes of anything that a walk reads: numbers, labels, branches, and entries left out."""
    chance = random.Random(seed)
    places = [
        ((kind, name), where)
        for kind in DRAWN
        for name, entry in found.entries[kind].items()
        for where in _leaves(entry)
    ]
    made = 0
    while made < count:
        top, where = chance.choice(places)
        entry = found.entries[top[0]][top[1]]
        value = _at(entry, where)
        other = _otherwise(found, entry, where, value, chance)
        if other is None:
            continue
        made += 1
        what = f"'{value}' is left out" if other is GONE else f"'{value}' is '{other}'"
        yield Mutant("at random", (*top, *where), what, put(entry, where, other))


DRAWN = ("symptoms", "checks", "faults", "preparations", "facts")
"""The kinds of entry that a walk does what they say."""

SAID = frozenset({"name", "does", "sounds", "ask", "how", "why", "say", "means", "misleads", "what", "do", "recheck"})
SAID |= {"stop when", "because", "refer", "hear", "few", "note", "source", "where", "opens", "may be open", "unit"}
SAID |= {"provenance", "tools", "parts", "cautions", "when", "people say"}
"""What people read or say, and no walk does."""

_LABELS: dict[str, tuple[str, ...]] = {
    "state": get_args(BenchState),
    "look": get_args(LookKind),
    "good for": get_args(GoodFor),
    "first look": ("owed", "always", "none"),
    "kind": ("mechanical", "screw"),
    "adjust": get_args(Screw),
    "screw": get_args(Screw),
    "way": get_args(Way),
    "setting": get_args(Setting),
    "guard": get_args(Guard),
    "race": ("race", "stay out"),
    "grounds": get_args(Grounding),
    **dict.fromkeys(get_args(Screw), ("rich", "lean")),
}
"""What else can stand where a label stands."""


def _leaves(entry: EntryPlace) -> Iterator[Path]:
    """Yield where something stands that a walk reads: each number, label and name, and each item of a list."""
    for key, part in entry.items():
        if key in SAID and not (key == "ask" and isinstance(part, str) and " " not in part):
            continue
        if isinstance(part, dict):
            yield from ((key, *rest) for rest in _leaves(part))
        elif isinstance(part, list):
            yield from ((key, str(number)) for number in range(len(part)))
        else:
            yield (key,)


def _at(data: Any, where: Path) -> Any:
    for key in where:
        data = data[int(key)] if isinstance(data, list) else data[key]
    return data


def _otherwise(found: FilesRead, entry: EntryPlace, where: Path, value: Any, chance: random.Random) -> Any:
    """Return something else to stand there, `GONE` for nothing, or None where nothing else makes sense."""
    inside = _at(entry, where[:-1])
    if isinstance(inside, list) or isinstance(value, bool):
        return GONE
    if where[-2:-1] in (("if",), ("explains",)) and chance.random() < 0.5:
        return GONE
    if isinstance(value, (int, float)):
        moved = round(value * chance.choice((0.25, 0.5, 1.5, 2, 4)), 3)
        return min(moved, 0.95) if where[-2:-1] == ("if",) or where[-1] == "else" else moved
    key = where[-1]
    if where[0] == "route":
        nodes = [node for node in entry["route"] if node not in (value, where[1])]
        return chance.choice(nodes) if value in entry["route"] and nodes else None
    if key == "area":
        return chance.choice(sorted({fault.area for fault in found.knowledge.faults.values()} - {value}))
    others = [label for label in _LABELS.get(key, ()) if label != value]
    return chance.choice(others) if others else None
