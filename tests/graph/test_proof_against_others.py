"""The proof beside other ways to the same answer: every path one by one, and a library's dominators."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import networkx as nx
from graph.small import HERE, OUT, adjust, ask, fault, look, routed, small, sweep
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.graph.model import Adjust, Knowledge, Screw, Sweep, signed
from diagnose.graph.routes import Route, onward, prepared
from diagnose.graph.safety import skipped, too_far

AREAS = ("linkage", "tank", "air", "ignition", "seals")
NAMES = ("a", "b", "c", "d", "e", "f")

areas = st.lists(st.sampled_from(AREAS), min_size=1, max_size=3, unique=True)
names = st.sampled_from(NAMES)


@st.composite
def sweeps(draw: st.DrawFn) -> dict[str, Any]:
    return sweep(*draw(areas), to=draw(names), kind=draw(st.sampled_from(["first", "strip"])))


@st.composite
def asks(draw: st.DrawFn) -> dict[str, Any]:
    return ask("plug", fine=draw(names), bad=draw(names), cant_tell=draw(names))


@st.composite
def adjusts(draw: st.DrawFn) -> dict[str, Any]:
    screw, way = draw(st.sampled_from(["low needle", "high needle"])), draw(st.sampled_from(["leaner", "richer"]))
    exits = {"better": draw(names), "same": draw(names), "worse": draw(names)}
    return {**adjust(screw, way, "a"), **exits, "hours": draw(st.sampled_from([0.5, 1]))}


back = names.map(lambda to: {"node": "prepare", "prepare": "going-back", "then": to})
nodes = st.one_of(sweeps(), asks(), adjusts(), back, st.just(OUT))
gone = dict.fromkeys(("outside", "pinch", "leaner", "strip", "again", "back", "out"))
routes = st.fixed_dictionaries(dict.fromkeys(NAMES, nodes)).map(lambda made: first_route(routed({**gone, **made})))


def first_route(known: Knowledge) -> Route:
    return next(route for route in prepared(known, {}).routes if route.name == HERE)


def plain_paths(route: Route) -> Iterator[list[str]]:
    """Yield every way from the start to an adjustment that turns in no circle."""

    def go(path: list[str]) -> Iterator[list[str]]:
        node = route.symptom.route[path[-1]]
        if isinstance(node, Adjust):
            yield path
        for target in onward(node, route.engine):
            if target and target not in path:
                yield from go([*path, target])

    yield from go([route.symptom.start])


def looks_for(route: Route, path: list[str], name: str) -> bool:
    for step in path:
        node = route.symptom.route[step]
        if isinstance(node, Sweep) and node.look == "first" and route.faults[name].area in node.sweep:
            return True
    return False


@given(routes)
@settings(max_examples=300, deadline=None)
def test_what_is_skipped_is_what_some_plain_way_to_an_adjustment_does_not_look_for(route: Route) -> None:
    ways = list(plain_paths(route))
    slow = {f: [w for w in ways if not looks_for(route, w, f)] for f in route.owed["first"]}
    fast = {fault: path for faults, path in skipped(route).items() for fault in faults}
    assert fast.keys() == {fault for fault, open_ways in slow.items() if open_ways}
    for name, path in fast.items():
        assert path in slow[name]
        assert len(path) == min(map(len, slow[name]))


@given(routes, st.sampled_from(AREAS[:4]))
@settings(max_examples=300, deadline=None)
def test_where_one_sweep_looks_for_a_fault_it_must_dominate_every_adjustment(route: Route, area: str) -> None:
    of_area = [name for name, node in route.each(Sweep).items() if area in node.sweep and node.look == "first"]
    if len(of_area) != 1:
        return
    dominators = nx.immediate_dominators(route.graph, route.symptom.start)
    dominators.pop(route.symptom.start, None)

    def dominated(node: str) -> bool:
        return node == of_area[0] or (node in dominators and dominated(dominators[node]))

    missed = {fault for faults in skipped(route) for fault in faults}
    in_area = {fault for fault in route.owed["first"] if route.faults[fault].area == area}
    assert in_area
    for fault_id in in_area:
        assert (fault_id not in missed) == all(map(dominated, route.each(Adjust)))


def turned_too_far(route: Route, needle: Screw, steps: int) -> set[str]:
    """Return the adjustments that turn `needle` too far within so many steps, by walking every way there is."""
    found: set[str] = set()

    def go(name: str, hours: float, stripped: bool, left: int) -> None:
        node = route.symptom.route.get(name)
        if node is None or not left:
            return
        match node:
            case Adjust() if node.adjust == needle:
                after = hours + signed(node.way, node.hours)
                free = abs(after) <= abs(hours) or (needle == "high needle" and node.way == "richer")
                if not free and (abs(after) > 2 or (abs(after) > 1 and not stripped)):
                    found.add(name)
                    return
                for target, then in ((node.better, after), (node.same, after), (node.worse, hours)):
                    go(target, then, stripped, left - 1)
            case _:
                stripped |= isinstance(node, Sweep) and node.look == "strip" and "seals" in node.sweep
                for target in onward(node, route.engine):
                    go(target, hours, stripped, left - 1)
                    if getattr(node, "prepare", None) == "going-back":
                        go(target, 0.0, stripped, left - 1)

    go(route.symptom.start, 0.0, False, steps)
    return found


@given(routes, st.sampled_from(["low needle", "high needle"]))
@settings(max_examples=150, deadline=None)
def test_what_turns_too_far_is_what_walking_every_way_finds(route: Route, needle: Screw) -> None:
    fast = {path[-1]: path for _, path in too_far(route, needle)}
    slow = turned_too_far(route, needle, 7)
    assert slow <= fast.keys()
    assert {name for name, path in fast.items() if len(path) <= 7} == slow


def test_faults_with_the_same_sweeps_are_proven_together() -> None:
    known = small(faults={"froth": fault("fuel")}, checks={"bubbles": look({"froth": 0.9})})
    known = routed({"outside": sweep("linkage", "tank", "ignition", to="pinch")}, known)
    route = first_route(known)
    assert skipped(route) == {frozenset({"filter-torn", "froth"}): ["outside", "pinch", "leaner"]}
