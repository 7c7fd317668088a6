"""A walk whose answers were known beforehand: its steps, and its verdict."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.graph.model import Knowledge
from diagnose.graph.wording import amount, capital, minutes
from diagnose.pages.parts import Gap, HowTo, Line, Page, Paragraph
from diagnose.reason.cases import CaseRun
from diagnose.workshop.session import to_turn


def case_run(run: CaseRun, known: Knowledge) -> Page:
    """Say each step with its answer, and what came of it all."""
    steps = tuple(
        part
        for number, step in enumerate(run.steps, 1)
        for part in (HowTo(f"{step.asks} ({minutes(step.minutes)})", number), Line(step.says, "   →"))
    )
    return (*steps, *((Gap(),) if steps else ()), *map(Paragraph, _verdict(run, known)))


def _verdict(run: CaseRun, known: Knowledge) -> Iterator[str]:
    yield f"{capital(run.verdict.outcome)}: {run.verdict.because}, after {run.minutes:.0f} minutes."
    yield from (f"mended: {known.faults[fault].name}" for fault in run.verdict.mended)
    yield from (f"turned: {turn.screw} {amount(turn.hours)} {turn.way}" for turn in run.adjustments)
    if run.verdict.outcome not in ("cured", "nothing is wrong"):
        yield from (f"still owed: {known.checks[check].name}" for check in run.owed)
        locked = run.locked if to_turn(known, run.belief) else ()
        yield from (f"No needle is turned now. {capital(lock.because)}." for lock in locked)
