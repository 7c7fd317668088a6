"""That it is another symptom than the walk was about: said right after the answer that shows it."""

from __future__ import annotations

from collections.abc import Iterable

from diagnose.graph.model import Knowledge
from diagnose.graph.say import say
from diagnose.pages.parts import AnswerPart, Page, Paragraph
from diagnose.reason.walk import Walk

HEADING = "That sounds like a different complaint"
STAY = "stay"
KEPT = "Your answers are kept, whichever you choose."
HERE = AnswerPart(STAY, "none of these: go on here", "A first impression can be wrong. The next look tells more.")


def rather_page(walk: Walk) -> Page:
    """Return what the walk is about now, and that nothing is lost."""
    now = walk.knowledge.symptoms[walk.symptom].name
    return Paragraph(f"What you saw does not fit well here: {now}. Which of these is it?", "strong"), Paragraph(KEPT)


def answers(known: Knowledge, symptoms: Iterable[str]) -> tuple[AnswerPart, ...]:
    """Return the symptoms that it can be, each with what it does."""
    found = ((name, known.symptoms[name]) for name in symptoms)
    return (*(AnswerPart(name, one.name, say(one.does, known)) for name, one in found), HERE)


def led_on(walk: Walk) -> str:
    """Say which symptom the walk has been led to."""
    return f"That is a different complaint: {walk.knowledge.symptoms[walk.symptom].name}. Your answers are kept."
