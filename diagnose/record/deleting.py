"""Deleting an outing, or a learner: a person may always delete what is theirs. The journal says that, and when.

The events go, from every page of the file. What takes their place is a tombstone: an event that tells no more than
which outing it was, of how many events, and when it was deleted; of a learner not even who it was. Nothing else takes
anything out of the journal.
"""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Collection, Iterator, Sequence
from contextlib import contextmanager
from typing import NamedTuple

import msgspec
from msgspec import Struct

from diagnose.errors import DiagnoseError
from diagnose.record.index import OUTINGS
from diagnose.record.journal import Journal, JournalError
from diagnose.record.journal_file import BUSY_SECONDS, NO_DELETING
from diagnose.record.notes import OF_OUTINGS

TOMBSTONES = "deleted"
WAIT = 0.05
TRACES = (
    "it is deleted, but the file could not be written anew ({}): traces of it may be left in it. "
    "Then say: diagnose record tidy"
)


class Deleted(Struct, frozen=True):
    """An outing was deleted; a learner where `outing` is empty. `at` in seconds since the epoch, `events` how many."""

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
    with _deleting(journal) as connection:
        length = journal.length(stream)
        if not length:
            raise DiagnoseError(f"there is no outing '{outing}'")
        made = Deleted(at, outing, length)
        _take_out(connection, (stream, f"{OF_OUTINGS}{outing}"))
        if connection.execute("SELECT 1 FROM sqlite_schema WHERE name = 'outings'").fetchone():
            connection.execute("DELETE FROM outings WHERE stream = ?", (stream,))
        _add(connection, at, (*kept, _tombstone(journal, made)))
    journal.appended.append(stream)
    _tidied(journal)
    return made


def delete_learner(journal: Journal, streams: Collection[str], at: float) -> int:
    """Delete the streams of a learner, and return how many events they had. Raises `JournalError` as `delete` does."""
    with _deleting(journal) as connection:
        events = sum(map(journal.length, streams))
        _take_out(connection, streams)
        _add(connection, at, (_tombstone(journal, Deleted(at, "", events)),))
    _tidied(journal)
    return events


@contextmanager
def _deleting(journal: Journal) -> Iterator[sqlite3.Connection]:
    with journal.within() as connection:
        connection.execute("PRAGMA secure_delete = ON")
    with journal.at_once() as connection:
        yield connection


def _take_out(connection: sqlite3.Connection, streams: Collection[str]) -> None:
    connection.execute("DROP TRIGGER events_last")  # back before anybody else can write: this is one transaction
    connection.executemany("DELETE FROM events WHERE stream = ?", [(stream,) for stream in streams])
    connection.execute(NO_DELETING)


def _tombstone(journal: Journal, made: Deleted) -> Added:
    return Added(TOMBSTONES, journal.length(TOMBSTONES), [msgspec.json.encode(made).decode()])


def _add(connection: sqlite3.Connection, at: float, added: Collection[Added]) -> None:
    for one in added:
        rows = [(one.stream, one.expected + n, at, body) for n, body in enumerate(one.bodies)]
        connection.executemany("INSERT INTO events VALUES (?, ?, ?, ?)", rows)


def _tidied(journal: Journal) -> None:
    try:
        tidy(journal)
    except JournalError as error:
        raise JournalError(TRACES.format(error)) from error


def tidy(journal: Journal) -> None:
    """Write the whole file anew, and empty its log: what was deleted is in no page of either. Raises `JournalError`."""
    until = time.monotonic() + BUSY_SECONDS
    with journal.within() as connection:
        connection.execute("VACUUM")
        while connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]:  # another window is reading
            if time.monotonic() > until:
                raise JournalError("another window is using the journal; close it")
            time.sleep(WAIT)
