"""Deleting an outing: a person may always delete what is theirs, and the journal says that it was done, and when.

The events go, from every page of the file. What takes their place is a tombstone: an event that tells no more than
which outing it was, of how many events, and when it was deleted. Nothing else takes anything out of the journal.
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from typing import NamedTuple

import msgspec
from msgspec import Struct

from diagnose.errors import DiagnoseError
from diagnose.record.index import OUTINGS
from diagnose.record.journal import BUSY_SECONDS, NO_DELETING, Journal, JournalError
from diagnose.record.notes import OF_OUTINGS

TOMBSTONES = "deleted"
WAIT = 0.05
TRACES = (
    "the outing is deleted, but the file could not be written anew ({}): traces of it may be left in it. "
    "Then say: diagnose record tidy"
)


class Deleted(Struct, frozen=True):
    """An outing was deleted. `at` in seconds since the epoch, `events` how many it had."""

    at: float
    outing: str
    events: int


class Added(NamedTuple):
    """What is written at the same moment as something is deleted: events behind `expected` others of a stream."""

    stream: str
    expected: int
    bodies: Sequence[str]


_decoder = msgspec.json.Decoder(Deleted)


def tombstones(journal: Journal) -> list[Deleted]:
    """Return what was deleted, in that order; raises `JournalError` for what can't be read."""
    try:
        return [_decoder.decode(body) for body in journal.read(TOMBSTONES)]
    except msgspec.DecodeError as error:
        raise JournalError(f"the journal holds a tombstone that can't be read: {error}") from error


def delete(journal: Journal, outing: str, at: float, kept: Sequence[Added] = ()) -> Deleted:
    """Delete an outing with its notes, and return its tombstone, which is on disk; `kept` is added at that moment.

    Raises `DiagnoseError` for one that is not there, and `JournalError`: then nothing is deleted, or it says what is
    left to do.
    """
    stream = f"{OUTINGS}{outing}"
    with journal.within() as connection:
        connection.execute("PRAGMA secure_delete = ON")
    with journal.at_once() as connection:
        length = journal.length(stream)
        if not length:
            raise DiagnoseError(f"there is no outing '{outing}'")
        made = Deleted(at, outing, length)
        connection.execute("DROP TRIGGER events_last")
        connection.execute("DELETE FROM events WHERE stream IN (?, ?)", (stream, f"{OF_OUTINGS}{outing}"))
        connection.execute(NO_DELETING)
        if connection.execute("SELECT 1 FROM sqlite_schema WHERE name = 'outings'").fetchone():
            connection.execute("DELETE FROM outings WHERE stream = ?", (stream,))
        told = Added(TOMBSTONES, journal.length(TOMBSTONES), [msgspec.json.encode(made).decode()])
        for one in (*kept, told):
            rows = [(one.stream, one.expected + n, at, body) for n, body in enumerate(one.bodies)]
            connection.executemany("INSERT INTO events VALUES (?, ?, ?, ?)", rows)
    journal.appended.append(stream)
    try:
        tidy(journal)
    except JournalError as error:
        raise JournalError(TRACES.format(error)) from error
    return made


def tidy(journal: Journal) -> None:
    """Write the whole file anew, and empty its log: what was deleted is in no page of either. Raises `JournalError`."""
    until = time.monotonic() + BUSY_SECONDS
    with journal.within() as connection:
        connection.execute("VACUUM")
        while connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]:  # another window is reading
            if time.monotonic() > until:
                raise JournalError("another window is using the journal; close it")
            time.sleep(WAIT)
