"""What learners' practices came to, and what they left unfinished. Points are a learner's own: no list names them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from diagnose.graph.model import Knowledge
from diagnose.pages.dates import day
from diagnose.pages.home import NOT_FINISHED
from diagnose.pages.parts import Gap, Heading, Line, Page, Table
from diagnose.workshop.learners import LearnerResult, Scored, right

HEAD = (
    "date",
    "learner",
    "what",
    "hidden",
    "ended",
    "minutes",
    "program",
    "best",
    "risks",
    "early",
    "hints",
    "question",
    "new case",
)


def results(known: Knowledge, found: Iterable[LearnerResult], left: Sequence[tuple[str, str]] = ()) -> Page:
    """Return the results as a table, a row each; then what was left, by learner and in a line."""
    unfinished = tuple(Line(said, f"{name}:") for name, said in left)
    under: Page = (Gap(), Heading(NOT_FINISHED), *unfinished) if left else ()
    return (Table(rows(known, found), head=True), *under)


def rows(known: Knowledge, found: Iterable[LearnerResult]) -> tuple[tuple[str, ...], ...]:
    """Return the results as rows of cells, the names of the columns first."""
    return (HEAD, *((day(one.scored.at), one.learner, *_cells(known, one.scored)) for one in found))


def ask_to_forget(nickname: str) -> str:
    """Ask whether all of a learner is meant to go."""
    return f"Delete everything of {nickname}, for good?"


def forgotten(count: int) -> str:
    """Say what was deleted."""
    return f"Deleted: {count} events of one learner. Copies that were made before still hold them."


def _cells(known: Knowledge, scored: Scored) -> tuple[str, ...]:
    minutes = (f"{value:.0f}" for value in (scored.minutes, scored.program_minutes, scored.best_minutes))
    counted = ("" if value is None else str(value) for value in (scored.hazards, scored.early, scored.hints))
    replied = (right(known, scored), scored.case)
    answered = ("" if value is None else "right" if value else "wrong" for value in replied)
    return (scored.lesson or scored.symptom, ", ".join(scored.faults), scored.ended, *minutes, *counted, *answered)
