"""What the person knows already: a few questions before any check, each of which may be skipped."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from diagnose.graph.say import say
from diagnose.pages.parts import AnswerPart, Paragraph
from diagnose.reason.events import SKIPPED
from diagnose.reason.story import may_follow
from diagnose.reason.walk import Walk

HEADING = "First, what do you know about it?"
GO_ON_WITH_TICKED = "go on with what is ticked"
SEVERAL = ", or several (1 3)"
SKIP = AnswerPart(SKIPPED, "I don't know: skip this question")
MAY_SKIP = "This question is about what you know already. It may be skipped."


class HistoryPage(NamedTuple):
    """The sections of a history question."""

    which: Paragraph
    asked: Paragraph
    answers: tuple[AnswerPart, ...]
    alone: str = ""
    """The answer that stands alone, where several may be true at once; else nothing."""


def history_page(walk: Walk, names: Sequence[str]) -> HistoryPage:
    """Return the first of the questions `names` that are still to be put."""
    known, engine = walk.knowledge, walk.variant
    question = dict(walk.history())[names[0]]
    number = sum(name in walk.state.told for name in known.history) + 1
    more = may_follow(walk.scope, walk.state)
    most = number + len(names) - 1 + more
    last = f"{'at most ' if most > number else ''}{most}"
    all_that_hold = "choose all that are true · " if question.several else ""
    answers = tuple(AnswerPart(key, say(answer.say, known, engine)) for key, answer in question.answers.items())
    return HistoryPage(
        Paragraph(f"question {number} of {last} · {all_that_hold}you may skip it", "quiet"),
        Paragraph(say(question.ask, known, engine), "strong"),
        (*answers, SKIP),
        question.healthy if question.several else "",
    )
