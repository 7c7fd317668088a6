"""What a worked case says comes after one of its answers or mends: nothing that runs, both guards, or a node."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.graph.model import BOTH_GUARDS, NOTHING_RUNS, Case, Engine, Knowledge
from diagnose.reason.cases import CaseRun, Done


def otherwise(known: Knowledge, case: Case, run: CaseRun) -> Iterator[str]:
    """Yield a sentence for each `after:` of a case that came out otherwise."""
    for key, said in (case.expect.after if case.expect else {}).items():
        made = next((number for number, step in enumerate(run.steps) if _is(step, key)), None)
        if made is None:
            yield f"'{key}' comes up nowhere, so nothing can come after it"
            continue
        here, later = run.steps[made], run.steps[made + 1 :]
        match said:
            case str() if said == NOTHING_RUNS:
                yield from _nothing_runs(known, here, later)
            case str() if said == BOTH_GUARDS:
                yield from _both_guards(known, here, later)
            case _:
                node = later[0].node if later else "the end"
                if node != said:
                    yield f"after '{key}' ({here.answer}) comes '{node}', not '{said}'"


def _is(step: Done, key: str) -> bool:
    return step.id == key and step.kind in ("ask", "recheck", "mend", "adjust", "prepare")


def _nothing_runs(known: Knowledge, here: Done, later: tuple[Done, ...]) -> Iterator[str]:
    """Tell of a step that runs the engine before the check comes out healthy."""
    healthy = known.checks[here.id].healthy if here.id in known.checks else None
    for step in later:
        if step.id == here.id and step.answer == healthy:
            return
        if _engine(known, step) != "off":
            yield f"after '{here.id}' ({here.answer}) nothing may run, and '{step.id}' does"
            return


def _both_guards(known: Knowledge, here: Done, later: tuple[Done, ...]) -> Iterator[str]:
    """Tell of a guard that is not looked at again before the engine runs, or of an engine that never does."""
    owed = {name for name, check in known.checks.items() if check.guard}
    for step in later:
        owed.discard(step.id)
        if _engine(known, step) == "running":
            if owed:
                yield f"after '{here.id}' the engine runs ('{step.id}') with no new look at '{min(owed)}'"
            return
    yield f"after '{here.id}' the engine does not run any more, so no guard is needed"


def _engine(known: Knowledge, step: Done) -> Engine:
    """Return what the engine does during a step."""
    match step.kind:
        case "ask" | "recheck":
            return known.checks[step.id].engine
        case "prepare":
            return known.preparations[step.id].engine
        case "retest":
            return known.symptoms[step.id].retest.engine
        case _:
            return "off"
