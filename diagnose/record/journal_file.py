"""The file of the journal: whose it is, what lies in it, and what is said where it can't be used."""

from __future__ import annotations

import os
import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from diagnose.errors import DiagnoseError

APPLICATION = 0x4E4C4A31
"""Marks a file as this program's journal."""

VERSION = 1
BUSY_SECONDS = 5.0
HEADER = b"SQLite format 3\x00"
HEADER_BYTES = 100
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


def prepare(connection: sqlite3.Connection, where: Path | str) -> None:
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


def log_ahead(connection: sqlite3.Connection, patience: float) -> None:
    """Change to the write-ahead log. SQLite does not wait for its turn here, so this does, for `patience` seconds."""
    until = time.monotonic() + patience
    while True:
        try:
            connection.execute("PRAGMA journal_mode = WAL")
            return
        except sqlite3.OperationalError as error:
            if error.sqlite_errorcode != sqlite3.SQLITE_BUSY or time.monotonic() > until:
                raise
            time.sleep(0.02)


def inspect(path: Path) -> None:
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
def clear(where: Path | str) -> Iterator[None]:
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
