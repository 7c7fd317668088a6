"""What the journal keeps: whether it is whole, and what became of a copy."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from diagnose.pages.dates import date_and_clock, day
from diagnose.pages.parts import Page, Paragraph
from diagnose.record.backup import BroughtBack, Held
from diagnose.record.unread import Unread


def looked_through(found: Held, unread: Sequence[Unread], wrong: int = 0) -> Page:
    """Say that every page of the journal could be read, which outings can't be shown, and where the index erred."""
    told = (Paragraph(one.told) for one in unread)
    index = f"The index did not fit the events of {_outings(wrong)}. It has been made anew from them."
    return (Paragraph(f"The journal is whole: {_holds(found)}."), *told, *((Paragraph(index),) if wrong else ()))


def backed_up(found: Held, to: Path) -> Page:
    """Say what a backup holds, and where it is."""
    return (Paragraph(f"Saved to {to}, and read through: {_holds(found)}."),)


def restored(found: BroughtBack, aside: Path | None) -> Page:
    """Say what the journal holds now, where what it held before is, and what is back that had been deleted."""
    kept = (Paragraph(f"What was there before is in {aside}."),) if aside else ()
    back = (Paragraph(f"{_outings(found.back)} that you had deleted {_is(found.back)} back."),) if found.back else ()
    return (Paragraph(f"The journal holds what the backup held: {_holds(found.held)}."), *kept, *back)


def tidied() -> Page:
    """Say that nothing is left of what was deleted."""
    return (Paragraph("The journal was written anew: nothing is left in it of what was deleted."),)


def _holds(found: Held) -> str:
    if not found.events:
        return "nothing yet"
    told = f"{found.events} event{'s' if found.events > 1 else ''}, the last of {date_and_clock(found.last_at)}"
    if not found.deleted:
        return told
    return (
        f"{told}. {_outings(found.deleted)} {'were' if found.deleted > 1 else 'was'} deleted from it by hand, "
        f"{'the last ' if found.deleted > 1 else ''}on {day(found.deleted_at)}"
    )


def _outings(count: int) -> str:
    return f"{count} outing{'s' if count > 1 else ''}"


def _is(count: int) -> str:
    return "are" if count > 1 else "is"
