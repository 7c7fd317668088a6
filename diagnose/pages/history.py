"""What the person knows already: a few questions before any check, each of which may be skipped."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from diagnose.graph.say import say
from diagnose.pages.parts import AnswerPart, Paragraph
from diagnose.reason.events import SKIPPED
from diagnose.reason.walk import Walk

HEADING = "First, what do you know about it?"


class HistoryPage(NamedTuple):
    """The sections of a history question."""

    which: Paragraph
    asked: Paragraph
    answers: tuple[AnswerPart, ...]


def history_page(walk: Walk, names: Sequence[str]) -> HistoryPage:
    """Return the first of the questions `names` that are still to be put."""
    known, engine = walk.knowledge, walk.variant
    question = known.history[names[0]]
    number = sum(name in walk.state.told for name in known.history) + 1
    answers = tuple(AnswerPart(key, say(answer.say, known, engine)) for key, answer in question.answers.items())
    return HistoryPage(
        Paragraph(f"question {number} of {number + len(names) - 1} · you may skip it", "quiet"),
        Paragraph(say(question.ask, known, engine), "strong"),
        (*answers, AnswerPart(SKIPPED, "skip this question")),
    )
