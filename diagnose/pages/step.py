"""A step: what is asked, how to do it, what to beware of, and what can be answered."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from diagnose.graph.model import Knowledge, Variant
from diagnose.graph.say import say
from diagnose.graph.wording import capital, minutes
from diagnose.pages import turns
from diagnose.pages.completion import in_a_line
from diagnose.pages.end import found_normal, handed_over
from diagnose.pages.lean import not_yet
from diagnose.pages.parts import AnswerPart, CautionPart, DrawingPart, HowTo, Line, Page, Paragraph, answers, grouped
from diagnose.reason.view import Step, View

LINES = "Each step in a line now: its name, and the state that is wanted. The same key brings the recipe back."
RECIPES = "Each step with its recipe now. The same key brings the lines back."
EXAMPLES = {"°C": "104, or 220 F", "": "0.8"}
"""How a reading may be typed, by its unit; in any other as in the last one."""


class StepPage(NamedTuple):
    """The sections of a step: a front end may keep the first in sight, and tell the hazards in full elsewhere."""

    asked: Page
    text: Page
    hazards: Page
    answers: tuple[AnswerPart, ...]


def step_page(
    view: View,
    step: Step,
    known: Knowledge,
    engine: Variant | None = None,
    *,
    brief: bool = False,
    means: bool = False,
    lines: bool = False,
) -> StepPage:
    """Return the page of a step. `means` says in the text what each answer means.

    `brief` leaves out the count, and says in words how a screw is turned: its face is in the `picture`. `lines` says
    the step in a line, with the state that is wanted, where that is enough for who knows it.
    """
    worst = known.worst_first(step.cautions)[:1]
    hazards = ((Line(_hazard(name, known, engine), "!", "quiet"),) for name in worst)
    if step.kind == "refer":
        text = found_normal(step.ask, view) if step.normal else handed_over(step.ask, view, view.owed)
    elif lines and step.wanted:
        text = _line(step)
    else:
        text = _text(step, known, engine, brief=brief, means=means)
    return StepPage(_asked(view, step, known, brief=brief), text, grouped(*hazards), answers(step.choices))


def needed(step: Step) -> Page:
    """Return what a step needs, and what may have to be renewed for it."""
    needs = [("You need:", step.tools), ("You may have to renew:", step.parts)]
    return tuple(Paragraph(f"{said} {', '.join(things)}") for said, things in needs if things)


def count(view: View, step: Step) -> str:
    """Say which step it is, and how long it takes."""
    return f"step {view.number}{f' · {minutes(step.minutes)}' if step.minutes else ''}"


def _asked(view: View, step: Step, known: Knowledge, *, brief: bool) -> Page:
    left = f" · {minutes(view.minutes_left)} of looks left" if view.owed else ""
    return (
        Paragraph(step.engine_line, "lead"),
        *not_yet(view),
        *(() if brief else (Paragraph(count(view, step) + left, "quiet"),)),
        Paragraph(_said(step), "strong"),
        *hazard(step.cautions, known),
    )


def hazard(cautions: Sequence[str], known: Knowledge) -> Page:
    """Return the worst of these hazards by its name, and how many more there are: more than one is not heeded."""
    worst = known.worst_first(cautions)
    return tuple(CautionPart(one.name, "", one.level, len(worst) - 1) for one in (known.cautions[n] for n in worst[:1]))


def _said(step: Step) -> str:
    """Return what is asked, in one sentence; an end is told at length below it."""
    if step.kind != "refer":
        return step.ask
    return "Nothing is wrong." if step.normal else "Hand this over."


def picture(step: Step, known: Knowledge, engine: Variant | None = None) -> Page:
    """Return what a step shows and not only says: where to look, and the faces of the screws to turn."""
    return grouped((turns.faces(step.turns),) if step.turns else (), _drawing(step, known, engine))


def _drawing(step: Step, known: Knowledge, engine: Variant | None) -> Page:
    drawing = known.drawings.get(step.where)
    return (DrawingPart(drawing.picture, say(drawing.words, known, engine)),) if drawing else ()


def _line(step: Step) -> Page:
    """Return a step in a line, with what must be read all the same."""
    return grouped(
        (Paragraph(step.why, "strong"),) if step.why_first else (),
        (HowTo(in_a_line(step.title, step.wanted)), *map(HowTo, step.always)),
        (Paragraph(f"{capital(step.well)}.", "strong"),) if step.well else (),
    )


def _text(step: Step, known: Knowledge, engine: Variant | None, *, brief: bool, means: bool) -> Page:
    faces = (turns.faces(step.turns),) if step.turns else ()
    turning: Page = tuple(HowTo(said) for face in faces for said in face.words) if brief else faces
    return grouped(
        (Paragraph(step.why, "strong"),) if step.why_first else (),
        (*turning, *map(HowTo, step.how)),
        (Paragraph(f"{capital(step.well)}.", "strong"),) if step.well else (),
        needed(step),
        _drawing(step, known, engine),
        tuple(one for one in answers(step.choices) if one.means) if means else (),
        (Paragraph(f"It can mislead: {step.misleads}", "quiet"),) if step.misleads else (),
        (Paragraph(f"Why now: {step.why}", "quiet"),) if step.why and not step.why_first else (),
    )


def _hazard(name: str, known: Knowledge, engine: Variant | None) -> str:
    caution = known.cautions[name]
    return f"{capital(caution.name)}. {say(caution.say, known, engine)}"
