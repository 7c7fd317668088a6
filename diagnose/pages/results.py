"""What learners' practices came to."""

from __future__ import annotations

from collections.abc import Iterable

from diagnose.pages.parts import Page, Table
from diagnose.workshop.learners import LearnerResult, Scored

HEAD = ("learner", "points", "minutes", "program", "best", "ended", "what")


def results(found: Iterable[LearnerResult]) -> Page:
    """Return the results as a table, a row each."""
    return (Table((HEAD, *((one.learner, *_cells(one.scored)) for one in found)), head=True),)


def _cells(scored: Scored) -> tuple[str, ...]:
    minutes = (f"{value:.0f}" for value in (scored.minutes, scored.program_minutes, scored.best_minutes))
    return (str(scored.points), *minutes, scored.ended, scored.lesson or scored.symptom)
