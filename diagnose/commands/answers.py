"""``diagnose walk --answers``: a case file in, steps and verdict out. The interface for tests and scripts."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from diagnose.commands import common
from diagnose.errors import DiagnoseError
from diagnose.graph.wording import minutes

if TYPE_CHECKING:
    from diagnose.graph.model import Case, Knowledge
    from diagnose.reason.cases import CaseRun, Engine


def walk_answers(file: Path, *, as_json: bool) -> None:
    """Run the case in `file` and print what came of it. Raises `DiagnoseError` with every problem."""
    from diagnose.graph.read import read_case
    from diagnose.reason.cases import run_case

    text = _text(file)
    known = common.knowledge()
    case = read_case(str(file), text, known)
    engine = _engine(case)
    try:
        run = run_case(known, case, engine.variant, engine)
    except DiagnoseError as error:
        raise DiagnoseError("\n".join(f"{file}: {line}" for line in str(error).splitlines())) from error
    if as_json:
        common.say_json(result(run))
    else:
        _print(run, known)


def _text(file: Path) -> str:
    from diagnose.graph.load import LIMIT

    try:
        with file.open("rb") as opened:
            data = opened.read(LIMIT + 1)
    except OSError as error:
        raise DiagnoseError(f"{file} can't be read: {error.strerror}") from error
    if len(data) > LIMIT:
        raise DiagnoseError(f"{file} is larger than 1 MiB")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise DiagnoseError(f"{file} is not UTF-8; save it as UTF-8 text") from error


def _engine(case: Case) -> Engine:
    """Return the engine that the case describes, or the recorded one that it names."""
    from diagnose.reason.cases import Engine, inline_engine

    if not isinstance(case.engine, str):
        return inline_engine(case.engine)
    started = common.begun(case.symptom, case.engine).started
    return Engine(started.variant, started=started)


def result(run: CaseRun) -> dict[str, Any]:
    """Return a run as the JSON that docs/commands.md describes."""
    return {
        "steps": run.steps,
        "verdict": {
            "outcome": run.verdict.outcome,
            "because": run.verdict.because,
            "mended": run.verdict.mended,
            "adjustments": [
                {"screw": turn.screw, "way": turn.way, "hours": turn.hours, "follow": turn.follow}
                for turn in run.adjustments
            ],
        },
        "minutes": run.minutes,
        "owed": run.owed,
        "locked": run.locked,
        "belief": run.belief,
    }


def _print(run: CaseRun, known: Knowledge) -> None:
    from diagnose.session import to_turn

    node = ""
    for number, step in enumerate(run.steps, 1):
        if step.node != node:
            common.say(f"     -> {step.node}")
            node = step.node
        answer = step.answer if isinstance(step.answer, str) else f"{step.answer:g}"
        common.say(f"{number:3}  {step.kind:8} {step.id}: {answer}  ({minutes(step.minutes)})")
        common.say(f"              {step.why}")
    common.say(f"{run.verdict.outcome}: {run.verdict.because}, after {run.minutes:.0f} minutes")
    for fault in run.verdict.mended:
        common.say(f"mended: {known.faults[fault].name}")
    for turn in run.adjustments:
        hours = "one hour" if turn.hours == 1 else f"{turn.hours:g} hours"
        common.say(f"turned: {turn.screw} {hours} {turn.way}")
    if run.verdict.outcome not in ("cured", "nothing is wrong"):
        for check in run.owed:
            common.say(f"still owed: {known.checks[check].name}")
        for lock in run.locked if to_turn(known, run.belief) else ():
            common.say(f"needles locked by rule {lock.rule}: {lock.because}")
