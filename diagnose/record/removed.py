"""Taking streams out of the journal for good, where a person asks for that. All else in it only grows.

A tombstone says that something was taken out, of which kind and when, and nothing of what it was.
"""

from __future__ import annotations

from collections.abc import Collection

import msgspec

from diagnose.record.journal import NO_DELETING, Journal

TOMBSTONES = "removed"
"""The stream of the tombstones."""


class Tombstone(msgspec.Struct, frozen=True):
    """That something was taken out."""

    kind: str
    """What it was, in a word: `learner`."""
    events: int
    """How many events it had."""


def remove(journal: Journal, streams: Collection[str], kind: str, at: float) -> int:
    """Take streams out of the journal, all at once, and return how many events they had; `at` in seconds.

    What they held is overwritten in the file too, and in its log. Copies that were made before still hold it. Raises
    `JournalError`; then nothing was taken out.
    """
    with journal.within() as connection:
        connection.execute("PRAGMA secure_delete = ON")
    taken = 0
    with journal.at_once() as connection:
        connection.execute("DROP TRIGGER events_last")  # back before anybody else can write: this is one transaction
        for stream in streams:
            taken += connection.execute("DELETE FROM events WHERE stream = ?", (stream,)).rowcount
        connection.execute(NO_DELETING)
        if taken:
            body = msgspec.json.encode(Tombstone(kind, taken)).decode()
            connection.execute(
                "INSERT INTO events SELECT ?1, coalesce(max(number) + 1, 0), ?2, ?3 FROM events WHERE stream = ?1",
                (TOMBSTONES, at, body),
            )
    with journal.within() as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return taken


def tombstones(journal: Journal) -> list[Tombstone]:
    """Return what was taken out, oldest first."""
    return [msgspec.json.decode(body, type=Tombstone) for body in journal.read(TOMBSTONES)]
