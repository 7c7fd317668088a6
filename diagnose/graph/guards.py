"""The rules of the two guards: they come before anything that runs the engine, and again after what disturbs them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import get_args

from diagnose.graph.model import RUNNING, Adjust, Ask, Check, Guard, Knowledge, Only, Prepare, Sweep
from diagnose.graph.problem import Problem
from diagnose.graph.routes import Proof, Route
from diagnose.graph.safety import listed

_HANDLED = (
    r"\b(?:lift|loosen|remove|take|pull|draw|slide|unscrew|fit|refit|renew|replace|swap|change)\b"
    r"(?: (?!and\b|or\b|then\b)[\w-]+){{0,3}} (?:{0})\b(?!')|\b(?:{0})(?: is| comes)? (?:off|out|away)\b"
)
"""Says that a part is taken off or put on: 'lift the carburettor out', 'with the carburettor off'."""


def problems(proof: Proof) -> Iterator[Problem]:
    """Rule 5: both guards are there, are asked before anything runs the engine, and again after what disturbs them."""
    checks = proof.knowledge.checks
    for guard in get_args(Guard):
        named = [name for name, check in checks.items() if check.guard == guard]
        if not named:
            yield _unguarded(proof, guard)
        for other in named[1:]:
            what = f"'{other}' is a second {guard} guard beside '{named[0]}'; there is one"
            yield proof.problem("guard-before-running", what, "checks", other, "guard")
    for name, check in checks.items():
        for wrong in _bad_guard(check) if check.guard else ():
            yield proof.problem("guard-before-running", f"the guard '{name}' {wrong}", "checks", name)
    yield from _again(proof)
    for symptom, name, node in proof.nodes():
        if isinstance(node, Ask) and node.ask in checks and checks[node.ask].guard:
            what = f"'{name}' asks the guard '{node.ask}'; guards come by themselves"
            yield proof.problem("guard-in-route", what, "symptoms", symptom, "route", name, "ask")


def _again(proof: Proof) -> Iterator[Problem]:
    """See that a mend that disturbs the throttle touches an area that the guards look at: both are owed again."""
    known = proof.knowledge
    areas = known.guarded_areas()
    hangs_on = [re.escape(term) for name, word in known.words.items() if word.guarded for term in (name, *word.also)]
    handled = re.compile(_HANDLED.format("|".join(hangs_on)), re.IGNORECASE) if hangs_on else None
    for name, fault in known.faults.items():
        if fault.turned or not areas or areas.intersection(fault.mend.touches):  # an adjustment leaves the rod alone
            continue
        if why := next(_disturbs(known, name, areas, handled), ""):
            what = f"the mend of '{name}' {why}; it must touch what the guards look at: {listed(sorted(areas))}"
            yield proof.problem("guards-again", what, "faults", name, "mend", "touches")


def _disturbs(known: Knowledge, name: str, areas: frozenset[str], handled: re.Pattern[str] | None) -> Iterator[str]:
    """Yield each sign that a fault's mend changes what a guard has seen."""
    fault = known.faults[name]
    guards = [check for check in known.checks.values() if check.guard]
    text = " ".join((*fault.mend.do, fault.mend.recheck or ""))
    if fault.area in areas:
        yield f"is of the area '{fault.area}'"
    if fault.mend.state == "stripped":
        yield "takes the engine apart"
    if handled and (found := handled.search(text)):
        yield f"says '{found[0]}'"
    for guard in guards:
        if name in known.shown_by(guard):
            yield f"changes what the guard '{guard.name}' looks at"
        if re.search(rf"\b{re.escape(guard.name)}\b", text, re.IGNORECASE):
            yield f"speaks of the guard '{guard.name}'"


def _bad_guard(check: Check) -> Iterator[str]:
    if check.runs:
        yield f"is made {check.state}; a guard is made with the engine off"
    if check.look != "first":
        yield "is a strip-down; a guard is a first look"
    if check.good_for != "outing":
        yield f"stays good for a {check.good_for}; a guard is made anew for every outing"
    if check.only != Only():
        yield "is only for some engines; a guard is for all"
    if not any(answer.grounds and not answer.healthy for answer in check.answers.values()):
        yield "grounds nothing; one of its unhealthy answers must"


def _unguarded(proof: Proof, guard: str) -> Problem:
    """Tell of a missing guard, with the shortest way to something that runs the engine."""
    ways = [(path, runs, route) for route in proof.routes for path, runs in [first_run(route)] if path]
    if not ways:
        return proof.problem("guard-before-running", f"no check is the {guard} guard", "checks")
    path, runs, route = min(ways, key=lambda way: len(way[0]))
    what = f"no check is the {guard} guard, and {runs} runs the engine: {proof.shown(route, path)}"
    return proof.problem("guard-before-running", what, *route.at(path[-1]))


def first_run(route: Route) -> tuple[list[str], str]:
    """Return the shortest way to a node that runs the engine, and what does; an empty way when nothing runs it."""
    for name, node in route.active.items():
        match node:
            case Sweep():
                made = [check for check in route.swept(node) if route.looks.checks[check].runs]
                what = f"the check '{min(made)}'" if made else "the re-test after a mend"
                runs = bool(made) or (bool(route.obliges(node)) and route.symptom.retest.state in RUNNING)
            case Ask():
                what, runs = f"the check '{node.ask}'", node.ask in route.asked and route.looks.checks[node.ask].runs
            case Prepare():
                preparation = route.preparations.get(node.prepare)
                what, runs = f"the preparation '{node.prepare}'", bool(preparation and preparation.state in RUNNING)
            case Adjust():
                what, runs = "an adjustment", True
            case _:
                what, runs = "", False
        if runs:
            return route.paths[name], what
    return [], ""
