"""What learners' practices came to, and what they left unfinished. Points are a learner's own: no list names them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from diagnose.graph.model import Knowledge
from diagnose.pages.dates import day
from diagnose.pages.home import NOT_FINISHED
from diagnose.pages.parts import AnswerPart, Gap, Heading, Line, Page, Paragraph, Table
from diagnose.workshop.learners import LearnerResult, Scored, right

HEADING = "Results, with what was hidden"
NO_RESULT = "No result yet. One is kept where a nickname was typed."
EVERYBODY = AnswerPart("*", "everybody")
WHOSE = "Whose results?"
WHOM = "Who is deleted?"
FOR_GOOD = Paragraph("Every practice, result and seat of this learner goes. It can't be taken back.", "strong")
DELETE, KEEP = "delete", "keep"
OR_KEEP = (AnswerPart(KEEP, "keep it"), AnswerPart(DELETE, "delete it for good"))

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
    "shown",
)


def results(known: Knowledge, found: Iterable[LearnerResult], left: Sequence[tuple[str, str]] = ()) -> Page:
    """Return the results as a table, a row each; then what was left, by learner and in a line."""
    unfinished = tuple(Line(said, f"{name}:") for name, said in left)
    under: Page = (Gap(), Heading(NOT_FINISHED), *unfinished) if left else ()
    return (Table(rows(known, found), head=True), *under)


def lines(known: Knowledge, found: Iterable[LearnerResult], left: Sequence[tuple[str, str]]) -> Page:
    """Return the same for a narrow screen: a few words for each result, then what was left."""
    made = tuple(Line(_in_words(known, one.scored), f"{day(one.scored.at)} {one.learner}:") for one in found)
    unfinished = tuple(Line(said, f"{name}:") for name, said in left)
    under: Page = (Gap(), Heading(NOT_FINISHED), *unfinished) if left else ()
    return (*(made or (Paragraph(NO_RESULT),)), *under)


def _in_words(known: Knowledge, scored: Scored) -> str:
    what = known.lessons[scored.lesson].name if scored.lesson in known.lessons else scored.lesson or scored.symptom
    what = known.symptoms[what].name if what in known.symptoms else what
    hidden = ", ".join(known.faults[one].name if one in known.faults else one for one in scored.faults)
    counted = [
        f"{name} {value}"
        for name, value in (("risks", scored.hazards), ("screws too early", scored.early), ("hints", scored.hints))
        if value is not None
    ]
    took = f"{scored.ended} after {scored.minutes:.0f} min, the program {scored.program_minutes:.0f}"
    if scored.shown:
        took += f"; steps done for the learner {scored.shown}"
    return "; ".join((what, f"hidden was {hidden}", took, *counted)) + "."


def rows(known: Knowledge, found: Iterable[LearnerResult]) -> tuple[tuple[str, ...], ...]:
    """Return the results as rows of cells, the names of the columns first."""
    return (HEAD, *((day(one.scored.at), one.learner, *_cells(known, one.scored)) for one in found))


def ask_to_forget(nickname: str) -> str:
    """Ask whether all of a learner is meant to go."""
    return f"Delete everything of {nickname}, for good?"


def forgotten(count: int) -> str:
    """Say what was deleted."""
    events = "one event" if count == 1 else f"{count} events"
    return f"Deleted: {events} of one learner. Copies that were made before still hold them."


def _cells(known: Knowledge, scored: Scored) -> tuple[str, ...]:
    minutes = (f"{value:.0f}" for value in (scored.minutes, scored.program_minutes, scored.best_minutes))
    counted = ("" if value is None else str(value) for value in (scored.hazards, scored.early, scored.hints))
    replied = (right(known, scored), scored.case)
    answered = ("" if value is None else "right" if value else "wrong" for value in replied)
    what = (scored.lesson or scored.symptom, ", ".join(scored.faults), scored.ended)
    return (*what, *minutes, *counted, *answered, str(scored.shown))
