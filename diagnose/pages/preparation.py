"""A job that gets a car ready, step by step."""

from __future__ import annotations

from diagnose.graph.model import Knowledge
from diagnose.graph.say import say
from diagnose.graph.wording import minutes
from diagnose.pages.parts import CautionPart, Heading, HowTo, Page, Paragraph, Timed


def preparation(known: Knowledge, name: str) -> Page:
    """Say what is needed, what to beware of, and what the hands do."""
    step = known.preparations[name]
    return (
        Heading(f"{step.name}, {minutes(step.minutes)}"),
        *_before(known, name),
        *(HowTo(say(line, known), number) for number, line in enumerate(step.do, 1)),
    )


def ticked(known: Knowledge, name: str) -> Page:
    """Say the same with a box for each thing that the hands do, for a pencil."""
    step = known.preparations[name]
    return (
        Paragraph(minutes(step.minutes), "strong"),
        *_before(known, name),
        *(Timed(say(line, known), "") for line in step.do),
    )


def _before(known: Knowledge, name: str) -> Page:
    step = known.preparations[name]
    hazards = (known.cautions[one] for one in known.worst_first(step.cautions))
    return (
        *([Paragraph(f"You need: {', '.join(step.tools)}")] if step.tools else []),
        *(CautionPart(one.name, say(one.say, known), one.level) for one in hazards),
    )
