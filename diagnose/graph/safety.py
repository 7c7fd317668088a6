"""The rules that keep a needle from being turned too soon or too far, proven over every symptom and kind of engine.

A proof that fails names its counterexample: the shortest way through the route that breaks the rule.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from typing import NamedTuple

import networkx as nx

from diagnose.graph.model import Adjust, Prepare, Screw, Sweep, signed
from diagnose.graph.model.base import FREE_HOURS, FURTHEST
from diagnose.graph.problem import Problem
from diagnose.graph.routes import Proof, Route, onward

NEEDLES: tuple[Screw, ...] = ("low needle", "mid needle", "high needle")

_CAP = 3.0  # richening the top is never blocked; beyond this, more hours change nothing


def problems(proof: Proof) -> Iterator[Problem]:
    """Yield every way to break one of these rules."""
    yield from _first_looks(proof)
    yield from _no_first_look(proof)
    yield from _second_hours(proof)
    yield from _one_hour(proof)


def skipped(route: Route) -> dict[frozenset[str], list[str]]:
    """Return the faults that an adjustment does not wait for, each set with the shortest way to the adjustment.

    A sweep is a chain of one obligation for each fault that it looks for. Without a fault's obligation the chain is
    cut, so its sweeps are taken out; faults with the same sweeps are proven together.
    """
    adjusts = route.each(Adjust)
    if not adjusts:
        return {}
    obliged = {name: route.obliges(sweep) for name, sweep in route.each(Sweep).items()}
    together: dict[frozenset[str], set[str]] = {}
    for fault in route.owed["first"]:
        sweeps = frozenset(name for name, faults in obliged.items() if fault in faults)
        together.setdefault(sweeps, set()).add(fault)
    found = {}
    for sweeps, faults in together.items():
        if route.symptom.start in sweeps:
            continue
        rest = nx.restricted_view(route.graph, sweeps, ())
        paths = nx.single_source_shortest_path(rest, route.symptom.start)
        if open_ways := [paths[adjust] for adjust in adjusts if adjust in paths]:
            found[frozenset(faults)] = min(open_ways, key=len)
    return found


def _first_looks(proof: Proof) -> Iterator[Problem]:
    """Rule 1: no adjustment while a fault of M1, or one that is always owed, is not looked for."""
    told: set[tuple[str, str]] = set()
    for route in proof.routes:
        for faults, path in skipped(route).items():
            fresh = sorted(fault for fault in faults if (route.name, fault) not in told)
            told |= {(route.name, fault) for fault in fresh}
            if fresh:
                what = f"'{path[-1]}' can be reached with no look for {listed(fresh)}: {proof.shown(route, path)}"
                yield proof.problem("first-look-before-adjustment", what, *route.at(path[-1]))


def _no_first_look(proof: Proof) -> Iterator[Problem]:
    """See that a mechanical fault has a first look, or says why it has none."""
    for name, fault in proof.knowledge.faults.items():
        if not fault.mechanical or fault.first_look == "none":
            continue
        for looks in proof.looks:
            if fault.only.fits(looks.engine) and name not in looks.by["first"]:
                what = f"no first look can show '{name}' on {looks.engine.says()}"
                yield proof.problem(
                    "no-first-look", f"{what}; 'first look: none' would need a 'because:'", "faults", name
                )
                break


class NeedleState(NamedTuple):
    """Where a walk stands as far as one needle is concerned."""

    node: str
    hours: float
    """Net hours since the last good tune or the return to a record; richer is more."""
    looked: frozenset[str]
    """What strip-downs have looked for."""


def too_far(route: Route, needle: Screw) -> Iterator[tuple[str, list[str]]]:
    """Yield for each adjustment that can turn `needle` too far what it does, and the shortest way there."""
    start = NeedleState(route.symptom.start, 0.0, frozenset())
    before: dict[NeedleState, NeedleState | None] = {start: None}
    queue = deque([start])
    told: set[str] = set()
    while queue:
        here = queue.popleft()
        node = route.symptom.route.get(here.node)
        if node is None:
            continue
        if isinstance(node, Adjust) and node.adjust == needle and here.node in route.active:
            refused = _refused(route, node, here)
            if refused is not None:
                if here.node not in told:
                    told.add(here.node)
                    yield refused, _way(here, before)
                continue
        for there in _after(route, here, needle):
            if there not in before:
                before[there] = here
                queue.append(there)


def _after(route: Route, here: NeedleState, needle: Screw) -> Iterator[NeedleState]:
    """Yield where a walk can stand next."""
    node = route.symptom.route[here.node]
    turned = [(target, here.hours) for target in onward(node, route.engine)]
    looked = here.looked
    if here.node in route.active:
        match node:
            case Sweep(look="strip"):
                looked |= route.obliges(node)
            case Prepare() if route.back(node):  # without a record it is passed over, and the hours stay
                turned.append((node.then, 0.0))
            case Adjust() if node.adjust == needle:
                hours = here.hours + signed(node.way, node.hours)
                hours = round(max(-_CAP, min(_CAP, hours)), 6)
                turned = [(node.better, hours), (node.same, hours), (node.worse, here.hours)]
            case _:
                pass
    yield from (NeedleState(target, hours, looked) for target, hours in turned)


def _refused(route: Route, node: Adjust, here: NeedleState) -> str | None:
    """Return what is wrong with the adjustment after `here.hours`; the gate asks the same at run time."""
    after = round(here.hours + signed(node.way, node.hours), 6)
    if abs(after) <= max(abs(here.hours), FREE_HOURS) or (node.adjust == "high needle" and node.way == "richer"):
        return None
    if abs(after) > FURTHEST:
        return f"can turn the {node.adjust} past two hours"
    missing = sorted(route.owed["strip"] - here.looked)
    return f"can turn the {node.adjust} a second hour with no strip-down for {listed(missing)}" if missing else None


def _way(there: NeedleState, before: dict[NeedleState, NeedleState | None]) -> list[str]:
    """Return the nodes that led there."""
    path: list[str] = []
    at: NeedleState | None = there
    while at is not None:
        path.append(at.node)
        at = before[at]
    return path[::-1]


def _second_hours(proof: Proof) -> Iterator[Problem]:
    """Rule 2: strip-downs before a needle's second hour, and never past two."""
    told: set[tuple[str, str]] = set()
    for route in proof.routes:
        screws = {node.adjust for node in route.each(Adjust).values()}
        for needle in NEEDLES:
            for refused, path in too_far(route, needle) if needle in screws else ():
                if (route.name, path[-1]) not in told:
                    told.add((route.name, path[-1]))
                    what = f"'{path[-1]}' {refused}: {proof.shown(route, path)}"
                    yield proof.problem("strip-down-before-second-hour", what, *route.at(path[-1]))


def _one_hour(proof: Proof) -> Iterator[Problem]:
    """Rule 3: one screw by one hour at most; only the idle stop follows, and only the low needle."""
    for symptom, name, node in proof.nodes():
        if not isinstance(node, Adjust):
            continue
        here: tuple[str, ...] = ("symptoms", symptom, "route", name)
        steps = [(node.adjust, node.hours, here)]
        for screw, step in node.follow.items():
            at: tuple[str, ...] = (*here, "follow", screw)
            steps.append((screw, step.hours, at))
            if (node.adjust, screw) != ("low needle", "idle stop"):
                what = f"'{name}' turns the {node.adjust} and the {screw}; only the idle stop follows the low needle"
                yield proof.problem("one-hour", what, *at)
        for screw, hours, at in steps:
            if not 0 < hours <= FREE_HOURS:
                what = f"'{name}' turns the {screw} by {hours:g} hours; one hour at most is allowed"
                yield proof.problem("one-hour", what, *at, "hours")


def listed(names: list[str]) -> str:
    """Write names in a row."""
    return ", ".join(f"'{name}'" for name in names)
