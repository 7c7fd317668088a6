"""The rules that keep a route honest: it can be walked to an end, and shows what it says that it looks for."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import NamedTuple

import networkx as nx

from diagnose.graph.link import NOT_ANSWERS
from diagnose.graph.model import RUNNING, Adjust, Ask, Fault, LookKind, Only, Prepare, Refer, Screw, Sweep, Way
from diagnose.graph.problem import Problem
from diagnose.graph.routes import END, Proof, Route
from diagnose.graph.safety import listed

FEW = 5
"""Fewer mechanical faults than this are few for a symptom that leads to a needle."""

SIGNS = 2


class Flaw(NamedTuple):
    """What is wrong with a route on one engine."""

    rule: str
    what: str
    path: tuple[str, ...]
    about: str = ""
    """What it is about, where one path has several problems of the rule."""


_CURES: dict[str, Way] = {"rich": "leaner", "lean": "richer"}
_MINDS: dict[str, Way] = {"leaner": "out", "richer": "in"}


def problems(proof: Proof) -> Iterator[Problem]:
    """Yield everything that makes a route unsound; what fails on several engines is told once."""
    told: set[tuple[str, tuple[str, ...], str]] = set()
    for route in proof.routes:
        for found in _of_route(route):
            key = (found.rule, found.path, found.about)
            if key not in told:
                told.add(key)
                yield proof.problem(found.rule, f"{found.what}; on {route.engine.says()}", *found.path)
    yield from _of_nodes(proof)
    yield from _unreachable(proof)
    yield from _circles(proof)


def _of_route(route: Route) -> Iterator[Flaw]:
    yield from _ends(route)
    yield from _engine(route)
    yield from _adjusts(route)
    yield from _untold(route)
    yield from _shown(route)


def _of_nodes(proof: Proof) -> Iterator[Problem]:
    """Look at single nodes, whatever the engine."""
    for symptom, name, node in proof.nodes():
        here = ("symptoms", symptom, "route", name)
        if (node.only == Only()) != (node.otherwise is None):
            what = f"'{name}': 'only:' and 'else:' go together; 'else:' says where the other engines go"
            yield proof.problem("node-else", what, *here)
        if isinstance(node, Ask) and node.ask in proof.knowledge.checks:
            missing = [answer for answer in proof.knowledge.checks[node.ask].answers if answer not in node.branches]
            if missing:
                what = f"'{name}' asks '{node.ask}' and has no branch for {listed(missing)}"
                yield proof.problem("branch-missing", what, *here)
        if isinstance(node, Adjust) and node.adjust == "low needle" and node.way in _MINDS:
            minds = node.follow.get("idle stop")
            held_down = minds is None and node.way == "richer" and proof.knowledge.symptoms[symptom].runs_away
            if not held_down and (minds is None or minds.way != _MINDS[node.way]):
                what = f"'{name}' turns the low needle {node.way}; the idle stop must follow, {_MINDS[node.way]}"
                yield proof.problem("low-needle-minds-stop", what, *here)


def _unreachable(proof: Proof) -> Iterator[Problem]:
    reached: set[tuple[str, str]] = {(route.name, name) for route in proof.routes for name in route.active}
    for symptom, name, _ in proof.nodes():
        if (symptom, name) not in reached:
            what = f"no way leads to '{name}' on any engine that it is for"
            yield proof.problem("unreachable", what, "symptoms", symptom, "route", name)


def _ends(route: Route) -> Iterator[Flaw]:
    """See that every node that can be reached can reach an end."""
    ending = nx.ancestors(route.graph, END) if END in route.graph else set()
    for name in route.active:
        if name not in ending:
            yield Flaw("no-end", f"from '{name}' the walk can come to no end", route.at(name))


def _circles(proof: Proof) -> Iterator[Problem]:
    """See that symptoms that lead to one another lead out of their circle."""
    leads: nx.DiGraph[str] = nx.DiGraph()
    leads.add_node(END)
    for route in proof.routes:
        leads.add_edges_from((route.name, door) for door in route.doors)
        if not route.doors or any(isinstance(node, (Refer, Adjust)) for node in route.active.values()):
            leads.add_edge(route.name, END)
    for symptom in sorted(leads.nodes - nx.ancestors(leads, END) - {END}):
        around = listed(sorted({symptom} | nx.descendants(leads, symptom)))
        yield proof.problem("no-end", f"'{symptom}' leads only in a circle: {around}", "symptoms", symptom)


def _engine(route: Route) -> Iterator[Flaw]:
    """See that no node asks of an engine what it does not have."""
    for name, node in route.active.items():
        here = route.at(name)
        if isinstance(node, Ask):
            check = route.looks.checks.get(node.ask)
            if check is None:
                yield Flaw("not-for-engine", f"'{name}' asks '{node.ask}', which is not for this engine", here)
            elif route.engine.needles == 2 and any("mid needle" in answer.sign for answer in check.answers.values()):
                yield Flaw("no-mid", f"'{name}' asks '{node.ask}', which speaks of a mid needle", here)
        if isinstance(node, Adjust) and node.adjust == "mid needle" and route.engine.needles == 2:
            yield Flaw("no-mid", f"'{name}' turns a mid needle that this engine does not have", here)


def _adjusts(route: Route) -> Iterator[Flaw]:
    adjusts = route.each(Adjust)
    for name, node in adjusts.items():
        here = route.at(name)
        if not route.symptom.runs:
            yield Flaw("dead-engine-adjusts", f"'{name}' adjusts an engine that will not keep running", here)
        if node.way == "leaner":
            yield from _signs(route, name, node)
        if node.way == "richer":
            yield from _lean_signs(route, name, node)
    mechanical = [fault for fault in route.explaining if route.faults[fault].mechanical]
    if adjusts and len(mechanical) < FEW and route.symptom.few is None:
        what = f"only {len(mechanical)} mechanical faults explain '{route.name}'; say why with 'few:'"
        yield Flaw("few-faults", what, ("symptoms", route.name))


def _untold(route: Route) -> Iterator[Flaw]:
    """See that who can't tell comes to no adjustment, and to no 'nothing is wrong', with nothing asked in between."""
    for name, node in route.each(Ask).items():
        for answer in NOT_ANSWERS:
            ends = {title for title, end in route.each(Refer).items() if end.nothing_wrong}
            if path := _silently(route, node.branches.get(answer, END), ends):
                what = f"'{name}' tells who answers '{answer}' that nothing is wrong: {' → '.join(path)}"
                yield Flaw("cant-tell-normal", what, route.at(name), answer)
            if path := _silently(route, node.branches.get(answer, END), route.each(Adjust)):
                what = f"'{name}' leads who answers '{answer}' to an adjustment: {' → '.join(path)}"
                yield Flaw("cant-tell-adjusts", what, route.at(name), answer)


def _silently(route: Route, start: str, ends: Collection[str]) -> list[str]:
    """Return a shortest way from `start` to one of `ends` on which no node asks, or nothing."""
    silent = route.graph.subgraph(route.graph.nodes - route.each(Ask).keys())
    ways = nx.single_source_shortest_path(silent, start) if start in silent else {}
    return min((way for end, way in ways.items() if end in ends), key=len, default=[])


def _signs(route: Route, name: str, node: Adjust) -> Iterator[Flaw]:
    """See that two independent signs of rich are possible, and that the symptom is none of lean."""
    said = route.symptom.sign.get(node.adjust)
    if said == "lean":
        what = f"'{name}' leans, but the symptom itself is a sign of lean"
        yield Flaw("lean-needs-signs", what, route.at(name))
        return
    signs = [check for check in sorted(route.made) if _says(route, check, node.adjust, "rich")]
    if len(signs) + (said == "rich") < SIGNS:
        found = listed([*signs, *([route.name] if said else [])]) or "none"
        what = f"'{name}' leans, and the route finds fewer than two signs that the {node.adjust} is rich: {found}"
        yield Flaw("lean-needs-signs", what, route.at(name))


def _lean_signs(route: Route, name: str, node: Adjust) -> Iterator[Flaw]:
    """See that two signs of lean are possible, one as the engine runs, and that the symptom is none of rich."""
    said = route.symptom.sign.get(node.adjust)
    if said == "rich":
        what = f"'{name}' richens, but the symptom itself is a sign of rich"
        yield Flaw("richer-needs-signs", what, route.at(name))
        return
    signs = [check for check in sorted(route.made) if _says(route, check, node.adjust, "lean")]
    seen = [check for check in signs if route.looks.checks[check].state in RUNNING]
    if len(signs) + (said == "lean") < SIGNS or not seen:
        found = listed([*signs, *([route.name] if said else [])]) or "none"
        what = f"'{name}' richens, and the route finds fewer than two signs that the {node.adjust} is lean, one of them"
        yield Flaw("richer-needs-signs", f"{what} seen as the engine runs: {found}", route.at(name))


def _says(route: Route, check: str, screw: Screw, setting: str) -> bool:
    return any(answer.sign.get(screw) == setting for answer in route.looks.checks[check].answers.values())


def _shown(route: Route) -> Iterator[Flaw]:
    """See that every fault that explains the symptom can be shown on its route."""
    if not route.explaining:
        if route.active.keys() - route.each(Ask).keys() - route.each(Refer).keys() or not route.doors:
            what = f"no fault explains '{route.name}', and it is no door, which only asks and leads to other symptoms"
            yield Flaw("door", what, ("symptoms", route.name))
        return
    unswept: dict[tuple[LookKind, str], list[str]] = {}
    for name in route.explaining:
        fault, here = route.faults[name], ("faults", name, "explains", route.name)
        if any(name in route.looks.shows[check] for check in route.asked):
            continue
        if not fault.mechanical:
            if not _screw_shown(route, name, fault):
                what = f"nothing on the route shows '{name}': no adjustment of its screw that way, and no check"
                yield Flaw("not-shown", what, here)
            continue
        look: LookKind = "strip" if fault.first_look == "none" else "first"
        if name not in route.looks.by[look]:
            if look == "strip":  # a first look that is missing is a rule of its own
                yield Flaw("not-shown", f"no strip-down can show '{name}', and no ask of the route does", here)
        elif not any(fault.area in sweep.sweep for sweep in route.each(Sweep).values() if sweep.look == look):
            unswept.setdefault((look, fault.area), []).append(name)
    for (look, area), faults in unswept.items():
        sweep = "sweep" if look == "first" else "strip sweep"
        what = f"no {sweep} looks at '{area}', where {listed(sorted(faults))} can be wrong"
        yield Flaw("area-unswept", what, ("symptoms", route.name, "route"), f"{look} {area}")


def _screw_shown(route: Route, name: str, fault: Fault) -> bool:
    """Say whether a screw's setting can be shown: by turning it, by a check that may be made, or by going back."""
    made = route.made if route.symptom.runs or not fault.turned else route.looks.checks.keys()
    if any(name in route.looks.shows[check] for check in made):
        return True
    if fault.setting == "off":  # its record, and so going back, comes with it
        return any(route.back(node) for node in route.each(Prepare).values())
    way = _CURES.get(fault.setting or "")
    return any(node.adjust == fault.screw and node.way == way for node in route.each(Adjust).values())
