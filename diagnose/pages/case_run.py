"""A walk whose answers were known beforehand: its steps, and its verdict."""

from __future__ import annotations

from diagnose.graph.model import Knowledge
from diagnose.graph.wording import amount, minutes
from diagnose.pages.parts import Page, Paragraph
from diagnose.reason.cases import CaseRun
from diagnose.workshop.session import to_turn


def case_run(run: CaseRun, known: Knowledge) -> Page:
    """Say each step with its answer and its reason, and what came of it all."""
    return tuple(map(Paragraph, (*_steps(run), *_verdict(run, known))))


def _steps(run: CaseRun) -> list[str]:
    said, node = [], ""
    for number, step in enumerate(run.steps, 1):
        if step.node != node:
            said.append(f"     -> {step.node}")
            node = step.node
        answer = step.answer if isinstance(step.answer, str) else f"{step.answer:g}"
        said.append(f"{number:3}  {step.kind:8} {step.id}: {answer}  ({minutes(step.minutes)})")
        said.append(f"              {step.why}")
    return said


def _verdict(run: CaseRun, known: Knowledge) -> list[str]:
    said = [f"{run.verdict.outcome}: {run.verdict.because}, after {run.minutes:.0f} minutes"]
    said += [f"mended: {known.faults[fault].name}" for fault in run.verdict.mended]
    said += [f"turned: {turn.screw} {amount(turn.hours)} {turn.way}" for turn in run.adjustments]
    if run.verdict.outcome not in ("cured", "nothing is wrong"):
        said += [f"still owed: {known.checks[check].name}" for check in run.owed]
        locked = run.locked if to_turn(known, run.belief) else ()
        said += [f"needles locked by rule {lock.rule}: {lock.because}" for lock in locked]
    return said
