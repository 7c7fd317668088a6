"""The worked cases run as tests of the knowledge: what does not come out as they expect."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from diagnose.errors import DiagnoseError
from diagnose.graph.problem import Place, Problem
from diagnose.graph.read import FilesRead
from diagnose.measure import coverage
from diagnose.reason import after, hands
from diagnose.reason.cases import CaseRun, check_expectation, inline_engine, run_case
from diagnose.reason.scope import Scope


def problems(found: FilesRead) -> Iterator[Problem]:
    """Yield what of the worked cases does not hold, and the faults and forms that no case is about."""
    for one in coverage.uncovered(found.knowledge, found.cases.values()):
        fault, _, form = one.partition(".")
        path = ("faults", fault, "forms", form) if form else ("faults", fault)
        where = found.places.get(path, Place("knowledge", 1, 1))
        yield Problem(where, "fault-without-case", f"'{one}' is the truth of no worked case")
    cases = Cases(found)
    for name in found.cases:
        yield from cases.problems(name)


class Cases:
    """The worked cases of some knowledge; engines that are alike share what was planned for them."""

    def __init__(self, found: FilesRead) -> None:
        self.found = found
        self.scopes: dict[str, Scope] = {}
        self.runs: dict[str, CaseRun] = {}
        """The cases that were run, by name."""

    def problems(self, name: str) -> Iterator[Problem]:
        """Yield what does not come out as one case expects."""
        case, places = self.found.cases[name], self.found.places
        top = places.get(("cases", name, "symptom"), Place(f"cases/{name}.yaml", 1, 1))
        if isinstance(case.engine, str):
            what = "a worked case of the knowledge describes its engine in place: {needles: 3, starter: box}"
            yield Problem(places.get(("cases", name, "engine"), top), "case-engine", what)
            return
        try:
            engine = inline_engine(case.engine)
            key = repr(engine.variant)
            scope = self.scopes[key] = self.scopes.get(key) or Scope(self.found.knowledge, engine.variant)
            run = self.runs[name] = run_case(self.found.knowledge, case, engine.variant, engine, scope)
            wrong: Iterable[str] = [
                *check_expectation(case, run),
                *hands.otherwise(self.found.knowledge, case, run),
                *after.otherwise(self.found.knowledge, case, run),
            ]
        except DiagnoseError as error:
            wrong = str(error).splitlines()
        for what in wrong:
            yield Problem(places.get(("cases", name, "expect"), top), "case", what)
