"""The journal: append-only events in one SQLite file, durable before the next question is shown.

Each stream (an outing, the engines) is a numbered list of JSON texts. Whoever appends says how long the stream was when
they last looked; if another program was quicker, nothing is written and `Conflict` says so.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path
from typing import NamedTuple

from diagnose.errors import DiagnoseError

APPLICATION = 0x4E4C4A31
"""Marks a file as this program's journal."""

VERSION = 1
BUSY_SECONDS = 5.0
HEADER = b"SQLite format 3\x00"

SCHEMA = f"""
CREATE TABLE events (
    stream TEXT NOT NULL,
    number INTEGER NOT NULL,
    at REAL NOT NULL,
    body TEXT NOT NULL,
    PRIMARY KEY (stream, number)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER events_stay BEFORE UPDATE ON events BEGIN SELECT RAISE(ABORT, 'the journal only grows'); END;
CREATE TRIGGER events_last BEFORE DELETE ON events BEGIN SELECT RAISE(ABORT, 'the journal only grows'); END;
PRAGMA application_id = {APPLICATION};
PRAGMA user_version = {VERSION};
"""


class JournalError(DiagnoseError):
    """The journal can't be used as it is; the file has been left as it was."""


class Conflict(JournalError):  # noqa: N818 - what happened, not a fault
    """Another program wrote to the stream first."""


class Stream(NamedTuple):
    """One stream of the journal; `first_at` and `last_at` in seconds since the epoch."""

    name: str
    length: int
    first_at: float
    last_at: float


def home() -> Path:
    """Return the program's data directory: ``DIAGNOSE_HOME``, or the platform's own place for it."""
    if chosen := os.environ.get("DIAGNOSE_HOME"):
        return Path(chosen)
    from platformdirs import user_data_path  # only where it is needed: it costs a first screen

    return user_data_path("needles-last", appauthor=False)


class Journal:
    """An open journal. Everything that `append` acknowledged is on disk."""

    def __init__(self, connection: sqlite3.Connection, where: str) -> None:
        self._connection = connection
        self._where = where

    @classmethod
    def open(cls, path: Path) -> Journal:
        """Open the journal, making it if there is none; raises `JournalError` and leaves a bad file untouched."""
        _inspect(path)
        with _clear(path):
            path.parent.mkdir(parents=True, exist_ok=True)
            connection = sqlite3.connect(path, timeout=BUSY_SECONDS, isolation_level=None, check_same_thread=False)
            try:
                connection.execute("PRAGMA journal_mode = WAL")
                connection.execute("PRAGMA synchronous = FULL")
                _prepare(connection)
            except BaseException:
                connection.close()
                raise
        return cls(connection, str(path))

    @classmethod
    def in_memory(cls) -> Journal:
        """Return a journal that is gone when the program ends, for a person who agreed to run without saving."""
        connection = sqlite3.connect(":memory:", isolation_level=None, check_same_thread=False)
        _prepare(connection)
        return cls(connection, "memory")

    @property
    def saved(self) -> bool:
        """Say whether what is appended outlives the program."""
        return self._where != "memory"

    def append(self, stream: str, expected: int, bodies: Sequence[str], at: float) -> int:
        """Append events to a stream that is `expected` long; return its new length, once they are on disk.

        Raises `Conflict` when the stream has another length by now.
        """
        with _clear(self._where):
            self._connection.execute("BEGIN IMMEDIATE")
            try:
                (length,) = self._connection.execute(
                    "SELECT coalesce(max(number) + 1, 0) FROM events WHERE stream = ?", (stream,)
                ).fetchone()
                if length != expected:
                    raise Conflict(f"{self._where}: another window wrote to this outing first; it has been read again")
                rows = [(stream, expected + n, at, body) for n, body in enumerate(bodies)]
                self._connection.executemany("INSERT INTO events VALUES (?, ?, ?, ?)", rows)
                self._connection.execute("COMMIT")
            except BaseException:
                if self._connection.in_transaction:
                    self._connection.execute("ROLLBACK")
                raise
        return expected + len(bodies)

    def read(self, stream: str, since: int = 0) -> list[str]:
        """Return the events of a stream from number `since` on."""
        with _clear(self._where):
            found = self._connection.execute(
                "SELECT body FROM events WHERE stream = ? AND number >= ? ORDER BY number", (stream, since)
            )
            return [body for (body,) in found]

    def streams(self, prefix: str = "") -> list[Stream]:
        """Return the streams whose name begins with `prefix`, the one written to last at the end."""
        with _clear(self._where):
            found = self._connection.execute(
                "SELECT stream, count(*), min(at), max(at) FROM events WHERE substr(stream, 1, length(?1)) = ?1 "
                "GROUP BY stream ORDER BY max(at), stream",
                (prefix,),
            )
            return [Stream(*row) for row in found]

    def close(self) -> None:
        """Close the file."""
        self._connection.close()

    def __enter__(self) -> Journal:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def _prepare(connection: sqlite3.Connection) -> None:
    """Make the table in a new file; two programs may try at once."""
    connection.execute("BEGIN IMMEDIATE")
    (tables,) = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    if not tables:
        for statement in SCHEMA.split(";\n"):
            if statement.strip():
                connection.execute(statement)
    connection.execute("COMMIT")


def _inspect(path: Path) -> None:
    """Refuse a file that is no journal of ours, without touching it or leaving a file beside it."""
    try:
        with path.open("rb") as file:
            header = file.read(len(HEADER))
    except FileNotFoundError:
        return
    except OSError as error:
        raise JournalError(f"{path}: the journal can't be read ({error.strerror}); check who owns the file") from error
    if header and header != HEADER:
        raise JournalError(f"{path}: this is not a journal; move the file away, or set DIAGNOSE_HOME to another folder")
    if not os.access(path, os.W_OK) or not os.access(path.parent, os.W_OK):
        raise JournalError(f"{path}: the journal can't be written; check who owns the file and its folder")
    if not header:
        return
    with _clear(path), closing(_looking(path)) as connection:
        (application,) = connection.execute("PRAGMA application_id").fetchone()
        (version,) = connection.execute("PRAGMA user_version").fetchone()
        (tables,) = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    if not tables:
        return
    if application != APPLICATION:
        raise JournalError(f"{path}: this file belongs to another program; set DIAGNOSE_HOME to another folder")
    if version > VERSION:
        raise JournalError(f"{path}: written by a newer version of this program; install that version to use it")


def _looking(path: Path) -> sqlite3.Connection:
    """Open a file to look only. With a write-ahead log beside it there may be newer pages, and those are ours."""
    logged = path.with_name(f"{path.name}-wal").exists()
    return sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro{'' if logged else '&immutable=1'}", uri=True)


@contextmanager
def _clear(where: Path | str) -> Iterator[None]:
    """Turn what SQLite and the file system say into one clear line."""
    try:
        yield
    except sqlite3.DatabaseError as error:
        said = str(error)
        if "locked" in said or "busy" in said:
            raise JournalError(f"{where}: another program holds the journal; close it and try again") from error
        if "readonly" in said:
            raise JournalError(f"{where}: the journal can't be written; check who owns the file") from error
        if "full" in said:
            raise JournalError(f"{where}: the disk is full; make room and try again") from error
        raise JournalError(
            f"{where}: the journal is damaged ({said}); move it away and keep it: a part may be saved"
        ) from error
    except OSError as error:
        raise JournalError(
            f"{where}: the journal can't be made ({error.strerror}); set DIAGNOSE_HOME to a folder of yours"
        ) from error
