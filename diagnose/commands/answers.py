"""``diagnose walk --answers``: a case file in, steps and verdict out. The interface for tests and scripts."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from diagnose.commands import common
from diagnose.commands.printed import show
from diagnose.errors import DiagnoseError

if TYPE_CHECKING:
    from diagnose.graph.model import Case
    from diagnose.reason.cases import CaseEngine, CaseRun


def walk_answers(file: Path, *, as_json: bool) -> None:
    """Run the case in `file` and print what came of it. Raises `DiagnoseError` with every problem."""
    from diagnose.graph.read import read_case
    from diagnose.pages.case_run import case_run
    from diagnose.reason.cases import run_case

    text = text_of(file)
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
        show(case_run(run, known))


def text_of(file: Path) -> str:
    """Return what stands in a file that a person names; raises `DiagnoseError` for one that can't be read."""
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


def _engine(case: Case) -> CaseEngine:
    """Return the engine that the case describes, or the recorded one that it names."""
    from diagnose.reason.cases import CaseEngine, inline_engine

    if not isinstance(case.engine, str):
        return inline_engine(case.engine)
    started = common.begun(case.symptom, case.engine).started
    return CaseEngine(started.variant, started=started)


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
