"""The journal: append-only events in one SQLite file, durable before the next question is shown.

Each stream (an outing, the engines) is a numbered list of JSON texts. Whoever appends says how long the stream was when
they last looked; if another program was quicker, nothing is written and `Conflict` says so.
"""

from __future__ import annotations

import os
import sqlite3
import threading
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple
from weakref import WeakSet

from diagnose.errors import DiagnoseError

APPLICATION = 0x4E4C4A31
"""Marks a file as this program's journal."""

VERSION = 1
BUSY_SECONDS = 5.0
HEADER = b"SQLite format 3\x00"
HEADER_BYTES = 100
LAST = chr(0x10FFFF)
"""Sorts behind every name."""

NO_DELETING = (
    "CREATE TRIGGER events_last BEFORE DELETE ON events BEGIN SELECT RAISE(ABORT, 'the journal only grows'); END"
)

SCHEMA = (
    """
    CREATE TABLE events (
        stream TEXT NOT NULL,
        number INTEGER NOT NULL,
        at REAL NOT NULL,
        body TEXT NOT NULL,
        PRIMARY KEY (stream, number)
    ) STRICT, WITHOUT ROWID
    """,
    "CREATE TRIGGER events_stay BEFORE UPDATE ON events BEGIN SELECT RAISE(ABORT, 'the journal only grows'); END",
    NO_DELETING,
    # REPLACE deletes without asking the trigger above
    """
    CREATE TRIGGER events_follow BEFORE INSERT ON events
    WHEN NEW.number <> (SELECT coalesce(max(number) + 1, 0) FROM events WHERE stream = NEW.stream)
    BEGIN SELECT RAISE(ABORT, 'the journal only grows'); END
    """,
    f"PRAGMA application_id = {APPLICATION}",
    f"PRAGMA user_version = {VERSION}",
)

DAMAGED = (
    "the journal is damaged ({}); move it away and keep it, with its -wal file if there is one: a part may be saved"
)
OWNER = "the journal can't be written; check who owns the file and its folder"
LONGEST = 500
"""Letters of a path that SQLite opens everywhere."""
TOO_LONG = "this path is too long for the journal; set DIAGNOSE_HOME to a folder with a shorter one"
BUSY = "another program holds the journal; close it and try again"
TROUBLE = {
    sqlite3.SQLITE_BUSY: BUSY,
    sqlite3.SQLITE_LOCKED: BUSY,
    sqlite3.SQLITE_PERM: OWNER,
    sqlite3.SQLITE_READONLY: OWNER,
    sqlite3.SQLITE_CANTOPEN: OWNER,
    sqlite3.SQLITE_FULL: "the disk is full; make room and try again",
    sqlite3.SQLITE_IOERR: "the disk can't be read or written ({}); see that it has room and is whole, then try again",
}
"""What to say for SQLite's primary result codes; anything else that it finds wrong is damage."""


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


class Journal:
    """An open journal. Everything that `append` acknowledged is on disk."""

    def __init__(self, connection: sqlite3.Connection, where: str, inode: tuple[int, int] | None = None) -> None:
        self._connection = connection
        self._where = where
        self._inode = inode

    @classmethod
    def open(cls, path: Path) -> Journal:
        """Open the journal, making it if there is none; raises `JournalError` and leaves a bad file untouched."""
        with _turn, _clear(path):
            # Closing any handle of a file drops this process's locks on it: one that is open here is not looked into.
            if not any(journal._inode == _inode(path) for journal in _open_here):
                _inspect(path)
            path.parent.mkdir(parents=True, exist_ok=True)
            connection = sqlite3.connect(path, timeout=BUSY_SECONDS, isolation_level=None, check_same_thread=False)
            try:
                connection.execute("PRAGMA synchronous = FULL")
                connection.execute("PRAGMA fullfsync = ON")  # macOS alone has a weaker kind
                _prepare(connection, path)
                _log_ahead(connection)
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
        _prepare(connection, "memory")
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
        with _clear(path):
            self._connection.execute("VACUUM INTO ?", (str(path),))

    def copy_into(self, other: Journal) -> None:
        """Let another open journal hold what this one does, at once or not at all; raises `JournalError`."""
        until = time.monotonic() + BUSY_SECONDS

        def waited(*_: int) -> None:  # the copying itself would wait for another program for ever
            if time.monotonic() > until:
                raise JournalError(f"{other._where}: {BUSY}")

        with _clear(other._where):
            self._connection.backup(other._connection, progress=waited)

    def look_through(self) -> None:
        """Read every page; raises `JournalError` for the first that is damaged."""
        with _clear(self._where):
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
            (length,) = connection.execute(
                "SELECT coalesce(max(number) + 1, 0) FROM events WHERE stream = ?", (stream,)
            ).fetchone()
            if length != expected:
                raise Conflict(f"{self._where}: another window wrote to this outing first; it has been read again")
            rows = [(stream, expected + n, at, body) for n, body in enumerate(bodies)]
            connection.executemany("INSERT INTO events VALUES (?, ?, ?, ?)", rows)
        return expected + len(bodies)

    def read(self, stream: str, since: int = 0, most: int = -1) -> list[str]:
        """Return the events of a stream from number `since` on; the first `most` of them, or all."""
        with _clear(self._where):
            found = self._connection.execute(
                "SELECT body FROM events WHERE stream = ? AND number >= ? ORDER BY number LIMIT ?",
                (stream, since, most),
            )
            return [body for (body,) in found]

    def times(self, stream: str) -> list[float]:
        """Return when the events of a stream happened, in seconds since the epoch."""
        with _clear(self._where):
            found = self._connection.execute("SELECT at FROM events WHERE stream = ? ORDER BY number", (stream,))
            return [at for (at,) in found]

    def streams(self, prefix: str = "") -> list[Stream]:
        """Return the streams whose name begins with `prefix`, the one written to last at the end."""
        with _clear(self._where):
            found = self._connection.execute(
                "SELECT stream, count(*), min(at), max(at) FROM events WHERE stream >= ? AND stream < ? "
                "GROUP BY stream ORDER BY max(at), stream",
                (prefix, f"{prefix}{LAST}"),  # a range, so that a long ledger is not read for a list of outings
            )
            return [Stream(*row) for row in found]

    @contextmanager
    def within(self) -> Iterator[sqlite3.Connection]:
        """Lend the connection to what lies in the same file; what goes wrong becomes a `JournalError`."""
        with _clear(self._where):
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


def _prepare(connection: sqlite3.Connection, where: Path | str) -> None:
    """Make the table in a new file; two programs may try at once.

    This comes before the write-ahead log, so that the file itself says whose it is as soon as it holds anything.
    """
    if not _version(connection):
        connection.execute("BEGIN IMMEDIATE")
        if not _version(connection):
            for statement in SCHEMA:
                connection.execute(statement)
        connection.execute("COMMIT")
    if _version(connection) > VERSION:  # a newer program may have put that into the log, not the file yet
        raise _too_new(where)
    connection.execute("SELECT number FROM events LIMIT 1").fetchall()  # damage near the top shows now


def _version(connection: sqlite3.Connection) -> int:
    """Return the format of the open file, 0 for a new one."""
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    return int(version)


def _log_ahead(connection: sqlite3.Connection) -> None:
    """Change to the write-ahead log. SQLite does not wait for its turn here, so this does."""
    until = time.monotonic() + BUSY_SECONDS
    while True:
        try:
            connection.execute("PRAGMA journal_mode = WAL")
            return
        except sqlite3.OperationalError as error:
            if error.sqlite_errorcode != sqlite3.SQLITE_BUSY or time.monotonic() > until:
                raise
            time.sleep(0.02)


def _inspect(path: Path) -> None:
    """Refuse a file that is no journal of ours. SQLite is not asked, as it may leave or remove files beside it."""
    header = b""
    log = path.with_name(f"{path.name}-wal")
    logged = log.exists() and log.stat().st_size > 0  # asked first: a log is only made for a file that holds something
    if path.exists():
        if not path.is_file():
            raise JournalError(f"{path}: this is not a file; move it away, or set DIAGNOSE_HOME to another folder")
        try:
            with path.open("r+b") as file:  # for writing too, to know now whether that is allowed
                header = file.read(HEADER_BYTES)
        except OSError as error:
            raise JournalError(f"{path}: {OWNER} ({error.strerror})") from error
        if not os.access(path.parent, os.W_OK):
            raise JournalError(f"{path}: {OWNER}")
    if not header:
        if logged:  # SQLite would delete it as worthless
            raise JournalError(f"{log}: the journal of this log is gone; put it back, or move the log away and keep it")
        return
    if not header.startswith(HEADER[: len(header)]):
        raise JournalError(f"{path}: this is not a journal; move the file away, or set DIAGNOSE_HOME to another folder")
    if len(header) < HEADER_BYTES:
        raise JournalError(f"{path}: {DAMAGED.format('it is cut short')}")
    if int.from_bytes(header[68:72], "big") != APPLICATION:
        raise JournalError(f"{path}: this file belongs to another program; set DIAGNOSE_HOME to another folder")
    if int.from_bytes(header[60:64], "big") > VERSION:
        raise _too_new(path)


def _too_new(where: Path | str) -> JournalError:
    return JournalError(f"{where}: written by a newer version of this program; install that version to use it")


@contextmanager
def _clear(where: Path | str) -> Iterator[None]:
    """Turn what SQLite and the file system say into one clear line."""
    try:
        yield
    except (sqlite3.IntegrityError, sqlite3.ProgrammingError):  # a mistake of the program, not of the file
        raise
    except sqlite3.DatabaseError as error:
        code = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_CORRUPT)  # text that is no text comes without one
        said = str(error).partition(" with text")[0]  # and not what the file holds
        if code & 0xFF == sqlite3.SQLITE_CANTOPEN and len(os.fsencode(where)) > LONGEST:
            raise JournalError(f"{where}: {TOO_LONG}") from error
        raise JournalError(f"{where}: {TROUBLE.get(code & 0xFF, DAMAGED).format(said)}") from error
    except UnicodeEncodeError as error:
        raise JournalError(f"{where}: this text holds half a character and can't be stored; type it again") from error
    except OSError as error:
        raise JournalError(
            f"{where}: the journal can't be made ({error.strerror}); set DIAGNOSE_HOME to a folder of yours"
        ) from error
