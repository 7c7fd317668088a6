"""Routes as graphs: where a walk can go from each node, on each kind of engine that makes a difference."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property
from typing import NamedTuple, TypeVar

import networkx as nx

from diagnose.graph.model import (
    Adjust,
    Ask,
    Check,
    Knowledge,
    LookKind,
    Node,
    Only,
    Prepare,
    Refer,
    Sweep,
    Symptom,
    Variant,
    every_variant,
    exits,
)
from diagnose.graph.problem import Place, Problem

NodeKind = TypeVar("NodeKind", bound=Node)

END = ""
"""Where a walk ends: handed over, cured by an adjustment, or gone to another symptom. No node has an empty name."""


class Looks:
    """What the looks that can be made on one engine can show."""

    def __init__(self, knowledge: Knowledge, shows: Mapping[str, frozenset[str]], engine: Variant) -> None:
        self.engine = engine
        self.checks = knowledge.checks_for(engine)
        self.shows = shows
        """The faults and hypotheses that each check can show, on whatever engine."""
        self.by: dict[LookKind, frozenset[str]] = {look: self._shown(look) for look in ("first", "strip")}
        """The faults that some first look, or some strip-down, on this engine can show."""

    def _shown(self, look: LookKind) -> frozenset[str]:
        made = (self.shows[name] for name, check in self.checks.items() if check.look == look)
        return frozenset[str]().union(*made)


class Route:
    """The route of one symptom on one engine."""

    def __init__(self, knowledge: Knowledge, name: str, looks: Looks) -> None:
        self.name = name
        self.symptom: Symptom = knowledge.symptoms[name]
        self.engine = looks.engine
        self.looks = looks
        self.owed: dict[LookKind, frozenset[str]] = {
            "first": knowledge.first_owed(name, self.engine),
            "strip": knowledge.strip_owed(name, self.engine),
        }
        self.explaining = knowledge.explaining(name, self.engine)
        self.faults = knowledge.faults
        self.preparations = knowledge.preparations
        self.graph: nx.DiGraph[str] = nx.DiGraph()
        self.graph.add_nodes_from(self.symptom.route)
        doors: dict[str, set[str]] = {}
        for title, node in self.symptom.route.items():
            for target in onward(node, self.engine):
                if target == END or target in self.symptom.route:
                    self.graph.add_edge(title, target)
                elif target in knowledge.symptoms:
                    self.graph.add_edge(title, END)
                    doors.setdefault(title, set()).add(target)
        self.paths: dict[str, list[str]] = nx.single_source_shortest_path(self.graph, self.symptom.start)
        """A shortest path from the start to each node that can be reached, nearest first."""
        self.doors = {door for title in self.paths for door in doors.get(title, ())}
        """The symptoms that it leads to."""

    def at(self, node: str) -> tuple[str, ...]:
        """Return the path of a node in the knowledge."""
        return ("symptoms", self.name, "route", node)

    @cached_property
    def active(self) -> dict[str, Node]:
        """The nodes that can be reached and are not passed over on this engine."""
        route = self.symptom.route
        return {name: route[name] for name in self.paths if name and route[name].only.fits(self.engine)}

    def each(self, kind: type[NodeKind]) -> dict[str, NodeKind]:
        """Return the active nodes of one kind."""
        return {name: node for name, node in self.active.items() if isinstance(node, kind)}

    def obliges(self, sweep: Sweep) -> frozenset[str]:
        """Return the faults that `sweep` is not left without looking for: owed, of its areas, and able to be shown."""
        owed = self.owed[sweep.look] & self.looks.by[sweep.look]
        return frozenset(fault for fault in owed if self.faults[fault].area in sweep.sweep)

    def swept(self, sweep: Sweep) -> Iterator[str]:
        """Yield the checks that `sweep` may make."""
        obliged = self.obliges(sweep)
        for name, check in self.looks.checks.items():
            if check.look == sweep.look and self.looks.shows[name] & obliged:
                yield name

    def back(self, node: Prepare) -> bool:
        """Say whether `node` goes back to the recorded settings."""
        return node.prepare in self.preparations and self.preparations[node.prepare].back

    @cached_property
    def asked(self) -> frozenset[str]:
        """The checks that the route asks by name."""
        return frozenset(node.ask for node in self.each(Ask).values() if node.ask in self.looks.checks)

    @cached_property
    def made(self) -> frozenset[str]:
        """The checks that a walk along this route may make."""
        return self.asked.union(*(self.swept(sweep) for sweep in self.each(Sweep).values()))


class Proof(NamedTuple):
    """What every rule looks at."""

    knowledge: Knowledge
    places: Mapping[tuple[str, ...], Place]
    routes: list[Route]
    """For each symptom one route for each kind of engine that makes a difference to it."""
    looks: list[Looks]
    """One for each kind of engine."""

    def at(self, *path: str) -> Place:
        """Return where `path` stands, or the nearest part above it that stands somewhere."""
        while path and path not in self.places:
            path = path[:-1]
        return self.places.get(path, Place("?", 1, 1))

    def problem(self, rule: str, what: str, *path: str) -> Problem:
        """Return a problem of the part that `path` leads to."""
        return Problem(self.at(*path), rule, what)

    def shown(self, route: Route, path: list[str]) -> str:
        """Write a path through a route, each node with its line, and the engine that it is taken on.

        All of a route stands in one file, which is named at the first node.
        """
        places = [(node, self.at(*route.at(node))) for node in path]
        steps = (
            f"{node} ({place.line if number else f'{place.file}:{place.line}'})"
            for number, (node, place) in enumerate(places)
        )
        return f"{' → '.join(steps)}; on {route.engine.says()}"

    def nodes(self) -> Iterator[tuple[str, str, Node]]:
        """Yield every node with its symptom and its name."""
        for symptom, found in self.knowledge.symptoms.items():
            for name, node in found.route.items():
                yield symptom, name, node


def onward(node: Node, engine: Variant) -> Iterator[str]:
    """Yield where a walk can go from a node on `engine`; a branch may name another symptom.

    Mends lead back into their sweep, and what can't be told to a hand-over, unless the node says otherwise.
    """
    if not node.only.fits(engine):
        if node.otherwise is not None:
            yield node.otherwise
        return
    if isinstance(node, (Adjust, Refer)):
        yield END
    yield from exits(node).values()


def prepared(knowledge: Knowledge, places: Mapping[tuple[str, ...], Place], *, every_engine: bool = False) -> Proof:
    """Lay out the routes of every symptom, for every kind of engine or only for those that make a difference."""
    shows = {name: knowledge.shown_by(check) for name, check in knowledge.checks.items()}
    looks = [Looks(knowledge, shows, engine) for engine in every_variant()]
    routes = []
    for name in knowledge.symptoms:
        different = looks if every_engine else _different(looks, _told_apart(knowledge, name))
        routes += [Route(knowledge, name, one) for one in different]
    return Proof(knowledge, places, routes, looks)


def _different(looks: list[Looks], told_apart: list[Only]) -> list[Looks]:
    """Return the first engine of each kind."""
    kinds: dict[tuple[int, ...], Looks] = {}
    for one in looks:
        kinds.setdefault((one.engine.needles, *(only.fits(one.engine) for only in told_apart)), one)
    return list(kinds.values())


def _told_apart(knowledge: Knowledge, symptom: str) -> list[Only]:
    """Return what tells engines apart as far as `symptom` is concerned."""
    nodes = knowledge.symptoms[symptom].route.values()
    asked = {node.ask for node in nodes if isinstance(node, Ask)}
    faults = {name: f for name, f in knowledge.faults.items() if symptom in f.explains or f.first_look == "always"}

    def matters(name: str, check: Check) -> bool:
        return name in asked or not check.named().isdisjoint(faults)

    onlys = [node.only for node in nodes]
    onlys += [fault.only for fault in faults.values()]
    onlys += [check.only for name, check in knowledge.checks.items() if matters(name, check)]
    return [only for only in dict.fromkeys(onlys) if only != Only()]
