"""What a worked case says comes after one of its answers or mends: nothing that runs, both guards, or where it goes."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.graph.model import BOTH_GUARDS, NOTHING_RUNS, Case, EngineState, Knowledge, Sweep
from diagnose.reason.cases import CaseRun, Done


def otherwise(known: Knowledge, case: Case, run: CaseRun) -> Iterator[str]:
    """Yield a sentence for each `after:` of a case that came out otherwise."""
    for key, said in (case.expect.after if case.expect else {}).items():
        made = _made(run.steps, key)
        if made is None:
            yield f"'{key}' comes up nowhere, so nothing can come after it"
            continue
        here, later = run.steps[made], run.steps[made + 1 :]
        if said == NOTHING_RUNS:
            yield from _nothing_runs(known, key, run.steps[made:])
        elif said == BOTH_GUARDS:
            yield from _both_guards(known, here, later)
        else:
            there = _onward(known, run.steps[: made + 1], later, said) or here
            found = there.symptom if said in known.symptoms else there.node
            if found != said:
                yield f"after '{key}' ({here.answer}) comes '{found}', not '{said}'"


def _onward(known: Knowledge, before: tuple[Done, ...], later: tuple[Done, ...], said: str) -> Done | None:
    """Return the first step past where the walk has been: an answer may have brought an earlier sweep up again."""
    passed = {(step.symptom, node) for step in before for node in _in_a_row(known, step)}
    been = passed - {(step.symptom, said) for step in before}
    return next((step for step in later if (step.symptom, step.node) not in been), later[0] if later else None)


def _in_a_row(known: Knowledge, step: Done) -> Iterator[str]:
    """Yield the node of a step, and the sweeps that are made together with it: those that follow it one by one."""
    route = known.symptoms[step.symptom].route if step.symptom else {}
    seen, node = set[str](), step.node
    while node not in seen:
        yield node
        seen.add(node)
        match route.get(node):
            case Sweep(then=then) if isinstance(route.get(then), Sweep):
                node = then
            case _:
                return


def _made(steps: tuple[Done, ...], key: str) -> int | None:
    """Return where a check, a mend, a turn or a preparation was first made, or where a node was first left."""
    made = None
    for number, step in enumerate(steps):
        if step.id == key and step.kind != "retest":
            return number
        if step.node == key:
            made = number
        elif made is not None:
            return made
    return made


def _nothing_runs(known: Knowledge, check: str, steps: tuple[Done, ...]) -> Iterator[str]:
    """Tell of a step that cranks or runs the engine between an answer that is not healthy and the healthy one."""
    healthy = known.checks[check].healthy if check in known.checks else None
    found = ""
    for step in steps:
        if step.id == check:
            found = "" if step.answer == healthy else str(step.answer)
        elif found and _engine(known, step) != "off":
            yield f"after '{check}' ({found}) nothing may run, and '{step.id}' does"
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


def _engine(known: Knowledge, step: Done) -> EngineState:
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
