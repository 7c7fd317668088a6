"""What can be practised, and who works at it."""

from __future__ import annotations

from diagnose.graph.model import Knowledge
from diagnose.pages.home import NOT_FINISHED
from diagnose.pages.parts import AnswerPart, Field, Heading, Page

HEADING = "Practice: what do you want to work on?"
RANDOM, TWO, HIDDEN, REAL, LEFT = "random", "two", "hidden", "real", "left"
LESSON = "lesson/"
WHICH_FAULT = "For the mentor: which fault?"
WHICH_SYMPTOM = "For the mentor: what does it do?"
NICKNAME = Field("nickname", "Who works at it?", hint="nickname")
KEPT = "A nickname is enough. Leave it empty, and nothing is kept."


def ways(known: Knowledge, *, left: bool) -> Page:
    """Return what can be begun under headings, what was `left` first."""
    lessons = tuple(AnswerPart(LESSON + key, one.name) for key, one in known.lessons.items())
    return (
        *((Heading(NOT_FINISHED), AnswerPart(LEFT, "go on with what you left")) if left else ()),
        *((Heading("lessons"), *lessons) if lessons else ()),
        Heading("without a lesson"),
        AnswerPart(RANDOM, "an engine with something wrong"),
        AnswerPart(TWO, "an engine with two things wrong"),
        AnswerPart(HIDDEN, "a mentor hides a fault; the learner looks away"),
        Heading("at the table"),
        AnswerPart(REAL, "a real car, beside the others"),
    )


def hidden_by(known: Knowledge, symptom: str) -> tuple[AnswerPart, ...]:
    """Return the faults that a mentor may hide behind a symptom, by their names."""
    faults = (AnswerPart(key, one.name) for key, one in known.faults.items() if symptom in one.explains)
    return tuple(sorted(faults, key=lambda one: one.text))


def nothing_left(nickname: str) -> str:
    """Say that a learner has nothing to go on with."""
    return f"{nickname or 'Somebody without a nickname'} has left nothing unfinished."
