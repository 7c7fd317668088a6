"""The knowledge with one thing written otherwise, in the ways that would take the edge off a rule.

`listed` gives each of these ways at every place where it can be; `drawn.drawn` changes anything, at random. Who
notices them, `noticed` says.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import combinations, permutations
from typing import Any, NamedTuple

from diagnose.graph.model import RUNNING
from diagnose.graph.places import Path
from diagnose.graph.read import FilesRead

EntryPlace = dict[str, Any]


class Mutant(NamedTuple):
    """One change to the knowledge."""

    way: str
    """What kind of change it is."""
    path: Path
    """Where it stands."""
    what: str
    entry: EntryPlace
    """The whole entry, as it would stand in a file."""


def listed(found: FilesRead) -> Iterator[Mutant]:
    """Yield every change of the listed kinds that can be made to the knowledge."""
    for way in WAYS:
        for path, what, changes in way(found):
            yield Mutant(way.__name__.strip("_").replace("_", " "), path, what, _changed(found, path, changes))


Change = tuple[Path, Any]
"""Where in an entry, and what stands there; `GONE` for nothing."""

GONE = object()

Changes = Iterator[tuple[Path, str, list[Change]]]


def _changed(found: FilesRead, path: Path, changes: Iterable[Change]) -> EntryPlace:
    """Return a copy of an entry with some changes."""
    entry = found.entries[path[0]][path[1]]
    for where, value in changes:
        entry = put(entry, where, value)
    assert isinstance(entry, dict)
    return entry


def put(data: Any, where: Path, value: Any) -> Any:
    """Return a copy of `data` with something else at `where`; `GONE` takes out what is there."""
    if isinstance(data, list):
        key = int(where[0])
        items = [] if len(where) == 1 and value is GONE else [put(data[key], where[1:], value) if where[1:] else value]
        return [*data[:key], *items, *data[key + 1 :]]
    rest = {name: part for name, part in data.items() if name != where[0]}
    if len(where) > 1:
        return {**data, where[0]: put(data.get(where[0], {}), where[1:], value)}
    return rest if value is GONE else {**data, where[0]: value}


def _answers(found: FilesRead) -> Iterator[tuple[Path, EntryPlace]]:
    """Yield every answer of a check."""
    for name, check in found.entries["checks"].items():
        yield from ((("checks", name, "answers", title), answer) for title, answer in check["answers"].items())


def _works(found: FilesRead) -> Iterator[tuple[Path, EntryPlace]]:
    """Yield everything that hands do: checks, mends, preparations and re-tests."""
    for kind, inside in (("checks", ()), ("faults", ("mend",)), ("preparations", ()), ("symptoms", ("retest",))):
        for name, entry in found.entries[kind].items():
            yield (kind, name, *inside), entry[inside[0]] if inside else entry


def _nodes(found: FilesRead, kind: str) -> Iterator[tuple[Path, EntryPlace]]:
    """Yield every node of a kind."""
    for name, symptom in found.entries["symptoms"].items():
        for title, node in symptom["route"].items():
            if kind in node:
                yield ("symptoms", name, "route", title), node


def _without(things: Iterable[tuple[Path, EntryPlace]], key: str) -> Changes:
    """Take `key` out of each of `things` that has it."""
    for path, thing in things:
        if key in thing:
            yield (*path, key), f"'{key}: {thing[key]}' is taken out", [((*path[2:], key), GONE)]


def grounds_removed(found: FilesRead) -> Changes:
    """Let a finding ground nothing."""
    yield from _without(_answers(found), "grounds")


def touches_removed(found: FilesRead) -> Changes:
    """Let a mend disturb nothing."""
    yield from _without(_works(found), "touches")


def state_parked(found: FilesRead) -> Changes:
    """Take it that the engine is off where it runs."""
    for path, work in _works(found):
        turned = path[0] == "faults" and found.knowledge.faults[path[1]].turned
        if work.get("state") in RUNNING and not turned and not work.get("on its own"):  # no walk makes those two
            yield (*path, "state"), f"'state: {work['state']}' is 'parked'", [((*path[2:], "state"), "parked")]


HEADS = ("warm-enough-to-look", "head-floor", "head-ceiling", "head-come-in", "head-stop")


def window_moved(found: FilesRead) -> Changes:
    """Move a limit of the head's heat."""
    for name in HEADS:
        if (value := found.entries["facts"].get(name, {}).get("value")) is not None:
            for times in (0.33, 0.8, 1.25, 2):
                moved = round(value * times, 1)
                yield ("facts", name, "value"), f"{value} is {moved}", [(("value",), moved)]


def sign_flipped(found: FilesRead) -> Changes:
    """Take a sign of rich for one of lean, and the other way round."""
    symptoms = ((("symptoms", name), entry) for name, entry in found.entries["symptoms"].items())
    for path, thing in (*_answers(found), *symptoms):
        for screw, says in thing.get("sign", {}).items():
            other = "lean" if says == "rich" else "rich"
            yield (*path, "sign"), f"the sign '{screw}: {says}' is {other}", [((*path[2:], "sign", screw), other)]


def first_look_lowered(found: FilesRead) -> Changes:
    """Let fewer first looks be owed."""
    for name, fault in found.entries["faults"].items():
        if fault["kind"] != "mechanical":
            continue
        here, look = ("faults", name, "first look"), fault.get("first look", "owed")
        if look == "always":
            yield here, "'always' is 'owed'", [(("first look",), GONE)]
        if look != "none":
            changes: list[Change] = [(("first look",), "none"), (("because",), "Nobody can see it.")]
            yield here, f"'{look}' is 'none', with a because", changes


def worse_goes_on(found: FilesRead) -> Changes:
    """Turn on the same way after it grew worse."""
    nodes = dict(_nodes(found, "adjust"))
    for path, node in nodes.items():
        for other, there in nodes.items():
            if other[1] == path[1] and (there["adjust"], there["way"]) == (node["adjust"], node["way"]):
                what = f"'worse: {node['worse']}' is '{other[-1]}'"
                yield (*path, "worse"), what, [((*path[2:], "worse"), other[-1])]


def branches_swapped(found: FilesRead) -> Changes:
    """Let two answers of a check lead where the other does."""
    for path, node in _nodes(found, "ask"):
        branches = [key for key in node if key not in ("ask", "only", "else", "can't tell", "no tool now")]
        for one, other in combinations(branches, 2):
            if node[one] != node[other]:
                what = f"'{one}: {node[one]}' and '{other}: {node[other]}' are swapped"
                yield path, what, [((*path[2:], one), node[other]), ((*path[2:], other), node[one])]


def healthy_moved(found: FilesRead) -> Changes:
    """Take another answer for the healthy one."""
    for name, check in found.entries["checks"].items():
        answers = check["answers"]
        for sound, bad in permutations(answers, 2):
            if not answers[sound].get("healthy"):
                continue
            odds = [(("answers", sound, key), answers[bad][key]) for key in ("if", "else") if key in answers[bad]]
            gone = [(("answers", bad, key), GONE) for key in ("if", "else")]
            moved = [(("answers", sound, "healthy"), GONE), (("answers", bad, "healthy"), True)]
            yield ("checks", name, "answers", bad), f"'{bad}' is healthy, and '{sound}' is not", [*odds, *gone, *moved]


def kind_changed(found: FilesRead) -> Changes:
    """Take a mechanical fault for a screw's, and a screw's for a mechanical one."""
    for name, fault in found.entries["faults"].items():
        here = ("faults", name, "kind")
        if fault["kind"] == "screw":
            gone: list[Change] = [((key,), GONE) for key in ("screw", "setting")]
            yield here, "'screw' is 'mechanical'", [(("kind",), "mechanical"), *gone]
            continue
        kept: list[Change] = [((key,), GONE) for key in ("first look", "because")]
        for screw, setting in (("low needle", "lean"), ("high needle", "off"), ("idle stop", "open")):
            said: list[Change] = [(("kind",), "screw"), (("screw",), screw), (("setting",), setting)]
            yield here, f"'mechanical' is 'screw', the {screw} {setting}", [*said, *kept]


def area_changed(found: FilesRead) -> Changes:
    """Look for a mechanical fault among the needles."""
    for name, fault in found.entries["faults"].items():
        if fault["kind"] == "mechanical" and fault["area"] != "needles":
            yield ("faults", name, "area"), f"'{fault['area']}' is 'needles'", [(("area",), "needles")]


def cranks_removed(found: FilesRead) -> Changes:
    """Take it that the starter does not turn the engine."""
    yield from _without(_works(found), "cranks")


def takes_off_removed(found: FilesRead) -> Changes:
    """Forget what a step takes off."""
    yield from _without(_works(found), "takes off")


def presumes_removed(found: FilesRead) -> Changes:
    """Take it that a question presumes no more than its bench state does."""
    yield from _without(((("checks", n), check) for n, check in found.entries["checks"].items()), "presumes")


def guard_removed(found: FilesRead) -> Changes:
    """Ask a guard no more."""
    yield from _without(((("checks", n), check) for n, check in found.entries["checks"].items()), "guard")


def tool_removed(found: FilesRead) -> Changes:
    """Owe a look at a tool that is not there."""
    yield from _without(((("faults", n), fault) for n, fault in found.entries["faults"].items()), "tool")


WAYS: tuple[Callable[[FilesRead], Changes], ...] = (
    guard_removed,
    grounds_removed,
    touches_removed,
    state_parked,
    window_moved,
    sign_flipped,
    first_look_lowered,
    worse_goes_on,
    branches_swapped,
    healthy_moved,
    kind_changed,
    area_changed,
    cranks_removed,
    takes_off_removed,
    presumes_removed,
    tool_removed,
)
"""The kinds of change of which none may pass."""
