"""What the journal keeps: whether it is whole, and what became of a copy."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from diagnose.pages.dates import date_and_clock
from diagnose.pages.parts import Page, Paragraph
from diagnose.record.backup import Held
from diagnose.record.unread import Unread


def looked_through(found: Held, unread: Sequence[Unread]) -> Page:
    """Say that every page of the journal could be read, and which outings can't be shown."""
    told = (Paragraph(one.told) for one in unread)
    return (Paragraph(f"The journal is whole: {_holds(found)}."), *told)


def backed_up(found: Held, to: Path) -> Page:
    """Say what a backup holds, and where it is."""
    return (Paragraph(f"Saved to {to}, and read through: {_holds(found)}."),)


def restored(found: Held, aside: Path | None) -> Page:
    """Say what the journal holds now, and where what it held before is."""
    kept = (Paragraph(f"What was there before is in {aside}."),) if aside else ()
    return (Paragraph(f"The journal holds what the backup held: {_holds(found)}."), *kept)


def _holds(found: Held) -> str:
    if not found.events:
        return "nothing yet"
    return f"{found.events} event{'s' if found.events > 1 else ''}, the last of {date_and_clock(found.last_at)}"
