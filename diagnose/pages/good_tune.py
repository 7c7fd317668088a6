"""Marking a tune as good: what is kept, and what of it is not known."""

from __future__ import annotations

from diagnose.graph.wording import capital
from diagnose.pages.conditions import figures
from diagnose.pages.going_back import DAY_FIRST
from diagnose.pages.parts import SAVE, AnswerPart, Field, FormPage, Heading, Line, Page, Paragraph, grouped
from diagnose.pages.stand import now, screws
from diagnose.tune.mixture import Conditions
from diagnose.tune.needles import Ledger

LAST = "The screws stand as said below. From now on this is the last good tune, and what there is to go back to."
NOT_COUNTED = "No screw is counted, so there is nothing to go back to. Write down where they stand first."
UNKNOWN = "The day or the fuel is not known. Without them going back can only guess, and adds an hour to the rich side."
FORM = FormPage(
    "Is this tune good?",
    (Heading("Which plug is in it, if you like?"), Field("plug", "plug", hint="medium")),
    (AnswerPart(SAVE, "yes, keep it as the last good tune"), DAY_FIRST, AnswerPart("no", "not yet")),
)


def good_tune(ledger: Ledger, needles: int, today: Conditions) -> Page:
    """Say what is kept as the last good tune."""
    noted = ", ".join(figures(today))
    kept: Page = (*(Line(f"{capital(screw)}: {now(ledger, screw)}.") for screw in screws(needles)),)
    kept += (Line(f"Now: {noted}."),) if noted else ()
    missing: Page = () if ledger.now else (Line(NOT_COUNTED, "!", "warning"),)
    return grouped((Paragraph(LAST),), kept, missing, unknown(today))


def unknown(today: Conditions) -> Page:
    """Say so where the day or the fuel is not known."""
    return (Line(UNKNOWN, "!", "warning"),) if today.air is None or today.fuel is None else ()
