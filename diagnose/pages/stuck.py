"""Who can't go on with a step is asked why, and led on: to the words, to an easier look, to a person, or to a pause."""

from __future__ import annotations

from diagnose.graph.model import Knowledge
from diagnose.pages.parts import AnswerPart, Gap, Line, Page, Paragraph, grouped
from diagnose.reason.decide import SOMEBODY_ELSE
from diagnose.reason.hand_over import groups
from diagnose.reason.view import Step, View

HEADING = "What is in the way?"
UNREACHED, UNCLEAR, UNSURE, LACKING, LATER, KEEP = "unreached", "unclear", "unsure", "lacking", "later", "keep"
NONE = "none"
ASKED_MOST = "What did it look like most?"
HALF = "Choose what comes nearest. It counts as half an answer, and another look comes after it."
NEAREST = AnswerPart(NONE, "none of them")

UNKNOWN = "It counts as not known. Other looks will tell."

SOMEBODY = "Ask somebody now"
END, PARK, ON = "end", "park", "on"
BRING = "Show this list, and bring the car, the plug, the igniter and the fuel bottle along."
PERSON = (
    AnswerPart(END, "end here, and show it to somebody"),
    AnswerPart(PARK, "ask somebody, and come back to this step"),
    AnswerPart(ON, "go on: there is more to look at"),
)

PARKED = "It waits here"
ON_WITHOUT, BACK = "without", "back"


def which(step: Step) -> tuple[AnswerPart, ...]:
    """Return what can be in the way of a step."""
    looks = step.kind in ("ask", "recheck")
    return (
        *((AnswerPart(UNREACHED, "I can't see it or reach it, or I would rather not touch it"),) if looks else ()),
        AnswerPart(UNCLEAR, "I don't understand what to do"),
        *((AnswerPart(UNSURE, "I looked, and I am not sure what I saw"),) if looks else ()),
        *((AnswerPart(LACKING, "I have not got what it needs"),) if step.tools or step.parts else ()),
        AnswerPart(LATER, "I can't do that now"),
        AnswerPart(KEEP, "nothing: back to it"),
    )


def needs(step: Step) -> tuple[str, ...]:
    """Return what a step needs."""
    return (*step.tools, *step.parts)


def needs_page(step: Step) -> Page:
    """Return what is needed for a step, to be borrowed or bought."""
    things = tuple(Line(thing) for thing in needs(step))
    return grouped(
        (Paragraph(step.ask, "strong"),),
        (Paragraph("This is what it needs:"), *things) if things else (Paragraph("It needs nothing but time."),),
        (Paragraph("Borrow it, and come back: the walk waits at this very step, and forgets nothing."),),
    )


AFTER_NEEDS = (
    AnswerPart(PARK, "leave it here, and come back"),
    AnswerPart(ON_WITHOUT, "go on without it"),
    AnswerPart(BACK, "do it after all"),
)
"""What can be done about a step that can't be done now."""


def waits(things: tuple[str, ...]) -> str:
    """Say what a walk waits for."""
    return f"waits for: {', '.join(things)}" if things else "waits for you"


def person_page(view: View) -> Page:
    """Return who to ask, and what to show: what was looked at, and what could not be told."""
    listed = [line for group in groups(view) for line in (Paragraph(f"{group.heading}:"), *_lines(group.lines))]
    return (
        Paragraph(SOMEBODY_ELSE),
        Gap(),
        *listed,
        Gap(),
        Paragraph(BRING),
    )


def _lines(lines: tuple[str, ...]) -> Page:
    return tuple(Line(line) for line in lines)


def easier(name: str, known: Knowledge) -> str:
    """Say that another look comes in place of one that could not be made."""
    return f"An easier look at some of the same: {known.checks[name].name}."
