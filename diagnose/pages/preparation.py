"""A job that gets a car ready, step by step."""

from __future__ import annotations

from diagnose.graph.model import Knowledge
from diagnose.graph.say import say
from diagnose.graph.wording import minutes
from diagnose.pages.parts import CautionPart, Heading, HowTo, Page, Paragraph


def preparation(known: Knowledge, name: str) -> Page:
    """Say what is needed, what to beware of, and what the hands do."""
    step = known.preparations[name]
    hazards = (known.cautions[one] for one in known.worst_first(step.cautions))
    return (
        Heading(f"{step.name}, {minutes(step.minutes)}"),
        *([Paragraph(f"You need: {', '.join(step.tools)}")] if step.tools else []),
        *(CautionPart(one.name, say(one.say, known), one.level) for one in hazards),
        *(HowTo(say(line, known), number) for number, line in enumerate(step.do, 1)),
    )
