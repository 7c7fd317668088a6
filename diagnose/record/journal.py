"""The journal: append-only events in one SQLite file, durable before the next question is shown.

Each stream (an outing, the engines) is a numbered list of JSON texts. Whoever appends says how long the stream was when
they last looked; if another program was quicker, nothing is written and `Conflict` says so.
"""

from __future__ import annotations

import sqlite3
import threading
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple
from weakref import WeakSet

from diagnose.record.journal_file import BUSY, BUSY_SECONDS, DAMAGED, JournalError, clear, inspect, log_ahead, prepare

__all__ = ["Conflict", "Journal", "JournalError", "Stream"]

LAST = chr(0x10FFFF)
"""Sorts behind every name."""

LENGTHS = """
    WITH RECURSIVE streams(name) AS (
        SELECT min(stream) FROM events WHERE stream >= ?1 AND stream < ?2
        UNION ALL
        SELECT (SELECT min(stream) FROM events WHERE stream > name AND stream < ?2) FROM streams WHERE name IS NOT NULL
    )
    SELECT name, (SELECT max(number) + 1 FROM events WHERE stream = name) FROM streams WHERE name IS NOT NULL
"""
"""From one name to the next: a scan of the table would read every event."""


class Conflict(JournalError):  # noqa: N818 - what happened, not a fault
    """Another program wrote to the stream first."""


class Stream(NamedTuple):
    """One stream of the journal; `first_at` and `last_at` in seconds since the epoch."""

    name: str
    length: int
    first_at: float
    last_at: float


class Journal:
    """An open journal. Everything that `append` acknowledged is on disk."""

    def __init__(self, connection: sqlite3.Connection, where: str, inode: tuple[int, int] | None = None) -> None:
        self._connection = connection
        self._where = where
        self._inode = inode
        self.appended: list[str] = []
        """The streams that were appended to through this journal, in that order."""

    @classmethod
    def open(cls, path: Path) -> Journal:
        """Open the journal, making it if there is none; raises `JournalError` and leaves a bad file untouched."""
        with _turn, clear(path):
            # Closing any handle of a file drops this process's locks on it: one that is open here is not looked into.
            if not any(journal._inode == _inode(path) for journal in _open_here):
                inspect(path)
            path.parent.mkdir(parents=True, exist_ok=True)
            connection = sqlite3.connect(path, timeout=BUSY_SECONDS, isolation_level=None, check_same_thread=False)
            try:
                connection.execute("PRAGMA synchronous = FULL")
                connection.execute("PRAGMA fullfsync = ON")  # macOS alone has a weaker kind
                prepare(connection, path)
                log_ahead(connection, BUSY_SECONDS)
            except BaseException:
                connection.close()
                raise
            journal = cls(connection, str(path), _inode(path))
            _open_here.add(journal)
        return journal

    @classmethod
    def in_memory(cls) -> Journal:
        """Return a journal that is gone when the program ends, for a person who agreed to run without saving."""
        connection = sqlite3.connect(":memory:", isolation_level=None, check_same_thread=False)
        prepare(connection, "memory")
        return cls(connection, "memory")

    def into_memory(self) -> Journal:
        """Return a journal in memory that holds what this one does, or nothing where it can't be read."""
        memory = Journal.in_memory()
        try:
            self._connection.backup(memory._connection)
        except sqlite3.Error:
            memory.close()
            return Journal.in_memory()
        return memory

    def is_file(self, path: Path) -> bool:
        """Say whether a file is the journal's own."""
        return self._inode is not None and _inode(path) == self._inode

    def copy_to(self, path: Path) -> None:
        """Write what the journal holds now to a new file; raises `JournalError`."""
        with clear(path):
            self._connection.execute("VACUUM INTO ?", (str(path),))

    def copy_into(self, other: Journal) -> None:
        """Let another open journal hold what this one does, at once or not at all; raises `JournalError`."""
        until = time.monotonic() + BUSY_SECONDS

        def waited(*_: int) -> None:  # the copying itself would wait for another program for ever
            if time.monotonic() > until:
                raise JournalError(f"{other._where}: {BUSY}")

        with clear(other._where):
            self._connection.backup(other._connection, progress=waited)

    def look_through(self) -> None:
        """Read every page; raises `JournalError` for the first that is damaged."""
        with clear(self._where):
            (found,) = self._connection.execute("PRAGMA integrity_check(1)").fetchone()
        if found != "ok":
            raise JournalError(f"{self._where}: {DAMAGED.format(found)}")

    @property
    def saved(self) -> bool:
        """Say whether what is appended outlives the program."""
        return self._where != "memory"

    def append(self, stream: str, expected: int, bodies: Sequence[str], at: float) -> int:
        """Append events to a stream that is `expected` long; return its new length, once they are on disk.

        Raises `Conflict` when the stream has another length by now. Whatever is raised, nothing was added.
        """
        with self.at_once() as connection:
            if self.length(stream) != expected:
                raise Conflict(f"{self._where}: another window wrote to this outing first; it has been read again")
            rows = [(stream, expected + n, at, body) for n, body in enumerate(bodies)]
            connection.executemany("INSERT INTO events VALUES (?, ?, ?, ?)", rows)
        self.appended.append(stream)
        return expected + len(bodies)

    def read(self, stream: str, since: int = 0, most: int = -1) -> list[str]:
        """Return the events of a stream from number `since` on; the first `most` of them, or all."""
        with clear(self._where):
            found = self._connection.execute(
                "SELECT body FROM events WHERE stream = ? AND number >= ? ORDER BY number LIMIT ?",
                (stream, since, most),
            )
            return [body for (body,) in found]

    def times(self, stream: str) -> list[float]:
        """Return when the events of a stream happened, in seconds since the epoch."""
        with clear(self._where):
            found = self._connection.execute("SELECT at FROM events WHERE stream = ? ORDER BY number", (stream,))
            return [at for (at,) in found]

    def streams(self, prefix: str = "") -> list[Stream]:
        """Return the streams whose name begins with `prefix`, the one written to last at the end."""
        with clear(self._where):
            found = self._connection.execute(
                "SELECT stream, count(*), min(at), max(at) FROM events WHERE stream >= ? AND stream < ? "
                "GROUP BY stream ORDER BY max(at), stream",
                (prefix, f"{prefix}{LAST}"),  # a range, so that a long ledger is not read for a list of outings
            )
            return [Stream(*row) for row in found]

    def lengths(self, prefix: str) -> dict[str, int]:
        """Return how long each stream is whose name begins with `prefix`, by name: no event is read for it."""
        with self.within() as connection:
            return dict(connection.execute(LENGTHS, (prefix, f"{prefix}{LAST}")).fetchall())

    def length(self, stream: str) -> int:
        """Return how long one stream is."""
        with self.within() as connection:
            (length,) = connection.execute(
                "SELECT coalesce(max(number) + 1, 0) FROM events WHERE stream = ?", (stream,)
            ).fetchone()
        return int(length)

    @contextmanager
    def within(self) -> Iterator[sqlite3.Connection]:
        """Lend the connection to what lies in the same file; what goes wrong becomes a `JournalError`."""
        with clear(self._where):
            yield self._connection

    @contextmanager
    def at_once(self) -> Iterator[sqlite3.Connection]:
        """Lend the connection for what is written all at once, or not at all."""
        with self.within() as connection:
            connection.execute("BEGIN IMMEDIATE")
            try:
                yield connection
                connection.execute("COMMIT")
            except BaseException:
                if connection.in_transaction:
                    connection.execute("ROLLBACK")
                raise

    def close(self) -> None:
        """Close the file."""
        with _turn:
            self._connection.close()
            _open_here.discard(self)

    def __enter__(self) -> Journal:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


_turn = threading.Lock()
_open_here: WeakSet[Journal] = WeakSet()
"""The journals that this process has open."""


def _inode(path: Path) -> tuple[int, int] | None:
    """Return what tells a file from every other, whatever it is called; None when there is none."""
    try:
        found = path.stat()
    except FileNotFoundError:
        return None
    return found.st_dev, found.st_ino
