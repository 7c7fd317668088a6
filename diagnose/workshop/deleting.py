"""Deleting an outing: what goes with it, and what of it stays because it is true of the car."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

import msgspec

from diagnose.errors import DiagnoseError
from diagnose.folders import home
from diagnose.reason.confirmed import confirmed
from diagnose.record import deleting
from diagnose.record.backup import BEFORE
from diagnose.record.deleting import Added, Deleted
from diagnose.record.learned import learned
from diagnose.record.ledger import LEDGERS
from diagnose.workshop.session import Session


class Gone(NamedTuple):
    """An outing that was deleted."""

    tombstone: Deleted
    screws: int
    """Entries that stay in the ledger of the car: a screw stays where it was turned."""
    copies: tuple[Path, ...]
    """Files of this program that may still hold it."""
    learned: bool = False
    """What was learned from the outings still counts it."""


def delete(session: Session, outing: str) -> Gone:
    """Delete an outing, its notes and the sheet that was written of it; raises `DiagnoseError`."""
    row, at = session.row_called(outing), session.clock()
    counts = _counts(session, row.id)
    entries = session.ledgers.without(row, session.days()) if row.engine in session.engines() else []
    stream = f"{LEDGERS}{row.engine}"
    bodies = [msgspec.json.encode(entry).decode() for entry in entries]
    kept = [Added(stream, session.journal.length(stream), bodies)] if entries else []
    made = deleting.delete(session.journal, row.id, at, kept)
    sheet = session.sheet(row.id)
    if sheet.name == f"{row.id}.txt":  # an id that is a path was never ours
        sheet.unlink(missing_ok=True)
    if session.outing == row.id:
        session.outing, session.walk = "", None
    return Gone(made, len(entries), tuple(sorted(home().glob(f"{BEFORE}*"))), counts)


def _counts(session: Session, outing: str) -> bool:
    """Say whether an outing is among those that walks now learn from; one that can't be shown is not."""
    used = learned(session.journal)
    if used is None:
        return False
    with suppress(DiagnoseError):
        found = confirmed(session.outing_called(outing).walk)
        return found is not None and found.fault in used.counts.get(found.symptom, {})
    return False
