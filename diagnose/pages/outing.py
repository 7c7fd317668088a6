"""An outing that is looked back at: its line in the list, what it was, what cured it, and what can be done with it."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.graph.model import Knowledge
from diagnose.graph.wording import capital, minutes
from diagnose.pages.dates import date_and_clock
from diagnose.pages.parts import AnswerPart, Field, FormPage, Gap, Heading, Line, Page, Paragraph
from diagnose.pages.replay import what_differs
from diagnose.pages.report import report
from diagnose.record.index import Row
from diagnose.record.notes import KeptNote
from diagnose.workshop.came_to import CarOuting
from diagnose.workshop.deleting import Gone
from diagnose.workshop.looked_back import LookedBack

NONE = "No walk fits that."
NO_CAR = "no car named"
OUTCOMES = {
    "open": "not finished",
    "cured": "cured",
    "nothing is wrong": "nothing is wrong",
    "handed over": "handed over",
    "stopped": "stopped",
}
TO_LIST = AnswerPart("list", "back to the list")
STEPS, AGAIN, ON, NOTE, DELETE, BACK = "steps", "again", "on", "note", "delete", "back"
NOTE_FORM = FormPage(
    "What do you want to note?",
    (Heading("In your own words"), Field("note", "note", hint="the bell was loose again")),
    (AnswerPart("save", "keep it"), AnswerPart("no", "go back")),
)
EMPTY = "Say what you saw."
STILL_LEARNED = "What was learned still counts it, until the outings are learned from again."
DELETE_HEADING = "Delete this walk?"
DELETE_ANSWERS = (AnswerPart(BACK, "keep it"), AnswerPart(DELETE, "delete it for good"))


def line(row: Row, came_to: CarOuting | None, known: Knowledge) -> str:
    """Name an outing: when, what, whose, and what it came to."""
    ended = "can't be shown" if came_to is None else _ended(came_to, known)
    return " · ".join([date_and_clock(row.told().begun), _about(row, came_to, known), row.engine or NO_CAR, ended])


def _about(row: Row, came_to: CarOuting | None, known: Knowledge) -> str:
    symptoms = (came_to.symptom,) if came_to is not None else row.told().symptoms
    return known.symptoms[symptoms[-1]].name if symptoms and symptoms[-1] in known.symptoms else "a walk"


def _ended(one: CarOuting, known: Knowledge) -> str:
    if one.outcome != "cured":
        return OUTCOMES[one.outcome]
    by = "; ".join(cured_by(one, known))
    return f"cured: {by}, {minutes(one.minutes)}" if by else OUTCOMES["cured"]


def cured_by(one: CarOuting, known: Knowledge) -> list[str]:
    """Say in short what cured it: what was mended, turned, or put back to its record."""
    back = [f"went back to {', '.join(one.back)}"] if one.back else []
    return [*_mended(one, known), *one.turned, *back]


def cure(one: CarOuting, known: Knowledge) -> list[str]:
    """Return what cured it: what was mended, what was turned, and what went back to its record."""
    mended = (f"mending: {name}" for name in _mended(one, known))
    turned = (f"turning: {turn}" for turn in one.turned)
    return [*mended, *turned, *(f"going back: {screw}" for screw in one.back)]


def _mended(one: CarOuting, known: Knowledge) -> list[str]:
    return [known.faults[fault].name if fault in known.faults else fault for fault in one.mended]


def title(found: LookedBack, known: Knowledge) -> str:
    """Return what stands over it: when it began, and about what it was."""
    return " · ".join([date_and_clock(found.row.told().begun), _about(found.row, found.came_to, known)])


def page(found: LookedBack, known: Knowledge) -> Page:
    """Return what an outing was: first what cured it, and how long that took; then all that was done."""
    one = found.came_to
    if found.walk is None or one is None:
        return (Paragraph(found.told, "strong"), *what_differs(found.replayed), *noted(found.notes))
    cured: list[str] = [capital(what) for what in cure(one, known)] if one.outcome == "cured" else []
    return (
        *((Heading("what cured it"),) if cured else ()),
        *(Line(what, "✓") for what in cured),
        *what_differs(found.replayed),
        *((Gap(),) if cured or what_differs(found.replayed) else ()),
        *report(found.walk, one.ended, found.day, found.ledger, in_full=False),
        *noted(found.notes),
    )


def noted(notes: Sequence[KeptNote]) -> Page:
    """Return what was noted of it afterwards."""
    if not notes:
        return ()
    return (Gap(), Heading("notes"), *(Line(f"{date_and_clock(one.at)}: {one.text}") for one in notes))


def answers(found: LookedBack) -> tuple[AnswerPart, ...]:
    """Return what can be done with it."""
    again = {
        "open": AnswerPart(ON, "go on with it"),
        "cured": AnswerPart(AGAIN, "it was not cured: open this walk again"),
    }
    one = found.came_to
    opened = () if one is None else (again.get(one.outcome, AnswerPart(AGAIN, "open this walk again, and go on")),)
    return (
        *((AnswerPart(STEPS, "go through it step by step"),) if found.replayed.walks else ()),
        *opened,
        AnswerPart(NOTE, "note something about it"),
        AnswerPart(DELETE, "delete it"),
    )


def deleting(name: str) -> Page:
    """Say what is gone once a walk is deleted, and what stays."""
    return (
        Paragraph(name, "strong"),
        Gap(),
        Line("All that was answered and noted in it is taken out of the file. No key brings it back."),
        Line("That a walk was deleted, and when, stays in the record."),
        Line("What it did to the screws stays in the car's ledger: a screw stays where it was turned."),
        Line("Backups and papers that you made before still hold it. Delete those yourself."),
    )


def deleted(gone: Gone) -> tuple[Paragraph, ...]:
    """Say that a walk is gone, what of it stays, and which files may still hold it."""
    stays = f"{gone.screws} {'entries' if gone.screws > 1 else 'entry'} of the car's ledger came from it, and stayed."
    copies = f"These copies of the journal may still hold it: {', '.join(map(str, gone.copies))}."
    return (
        Paragraph(f"The walk of {gone.tombstone.outing} is deleted."),
        *((Paragraph(stays),) if gone.screws else ()),
        *((Paragraph(copies),) if gone.copies else ()),
        *((Paragraph(STILL_LEARNED),) if gone.learned else ()),
    )


def reopened(outing: str) -> Page:
    """Say that a walk is open again."""
    return (Paragraph(f"The walk of {outing} is open again: it is listed first when the program opens."),)


def more(count: int) -> str:
    """Say how many were not listed."""
    return f"and {count} more: add a word, or a day"
