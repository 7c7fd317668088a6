"""An engine as it was recorded, and what is asked of a new one."""

from __future__ import annotations

from diagnose.graph.model import Screw, Starter
from diagnose.graph.model.parts import SCREWS
from diagnose.pages.parts import SAVE, AnswerPart, Field, FormPage, Heading, Page, Paragraph, PickPart
from diagnose.record.engines import Engine

SKIP = "skip"
UNKNOWN = "unknown"
"""The answer of who can't know: it says what is taken then."""
FIRST = "First, which engine is it? What can be wrong depends on it."
STARTERS: dict[Starter, str] = {"box": "a starter box", "pull": "a pull cord", "electric": "an electric starter"}


def cant_be_shown(many: int) -> str:
    """Say that records of engines can't be read; they stay where they are."""
    return f"! {'One engine' if many == 1 else f'{many} engines'} of the journal can't be shown; the others are whole."


def field(screw: Screw) -> str:
    """Return the id of the field of a screw."""
    return screw.replace(" ", "-")


ASKED: Page = (
    Heading("What do you call it?"),
    Field("name", hint="blue truggy"),
    PickPart(
        "needles",
        "How many needles has the carburettor?",
        (
            AnswerPart("2", "two: low and high"),
            AnswerPart("3", "three: low, mid and high"),
            AnswerPart(UNKNOWN, "I don't know: take three"),
        ),
    ),
    PickPart(
        "starter",
        "How is it started?",
        (
            *(AnswerPart(starter, said) for starter, said in STARTERS.items()),
            AnswerPart(UNKNOWN, "I don't know: take a starter box"),
        ),
    ),
    PickPart(
        "age",
        "Is it run in?",
        (
            AnswerPart("run in", "run in"),
            AnswerPart("new", "new, still being run in"),
            AnswerPart(UNKNOWN, "I don't know: take it as run in"),
        ),
    ),
    PickPart(
        "low",
        "What does its low screw let in?",
        (
            AnswerPart("fuel", "fuel: in is leaner"),
            AnswerPart("air", "air: in is richer"),
            AnswerPart(UNKNOWN, "I don't know: take fuel, as most do"),
        ),
    ),
    Heading("Where its screws stand, if you have a record: hours out from closed"),
    *(Field(field(screw), screw, hint="39, 3t 3h") for screw in SCREWS),
    Heading("Notes, if you like"),
    Field("notes"),
)
NONE_RECORDED = "This engine has no record."
NONE_YET = "There is no engine yet."


def engine(found: Engine) -> Page:
    """Say the settings that it was recorded with, and its notes."""
    settings = (Paragraph(f"{screw}: {hours:g} hours out") for screw, hours in found.settings.items())
    return (*settings, Paragraph(found.notes))


def new_engine(*, first: bool = False) -> FormPage:
    """Ask for a new engine; before the `first` walk it may be left for later."""
    why = (Paragraph(FIRST),) if first else ()
    skip = (AnswerPart(SKIP, "not now: take it as three needles, starter box, run in"),) if first else ()
    return FormPage("A new engine", (*why, *ASKED), (AnswerPart(SAVE, "save this engine"), *skip))
