"""The index of the outings: a table beside the events that saves reading all of them.

It can always be thrown away: `Index.rows` makes anew what is missing, what is behind its events, and what somebody has
changed by hand. Each row is sealed, and how long each outing is stands in the events themselves.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Sequence
from contextlib import suppress
from typing import NamedTuple
from zlib import crc32

import msgspec

from diagnose.reason import events as ev
from diagnose.record import gist as gists
from diagnose.record.gist import Gist, ReadOuting, SaidNote
from diagnose.record.journal import Journal, JournalError

OUTINGS = "outing/"
FORMAT = 3
"""Goes into each seal, so that rows are made anew: to be raised whenever `gist.read` comes to something else."""

TABLE = """CREATE TABLE outings (
        stream TEXT PRIMARY KEY,
        length INTEGER NOT NULL,
        last_at REAL NOT NULL,
        ending TEXT NOT NULL,
        engine TEXT NOT NULL,
        gist TEXT NOT NULL,
        screws TEXT NOT NULL,
        made_with TEXT NOT NULL,
        came_to TEXT NOT NULL,
        seal INTEGER NOT NULL
    ) STRICT"""
"""As SQLite keeps it, word for word: a table that is made in any other way is made anew."""

WRITE = "INSERT OR REPLACE INTO outings VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"


class Row(NamedTuple):
    """One outing. `gist` and `screws` are JSON; `came_to`, what it came to by the knowledge `made_with`, or nothing."""

    stream: str
    length: int
    last_at: float
    ending: str
    engine: str
    gist: str
    screws: str
    made_with: str = ""
    came_to: str = ""

    @property
    def id(self) -> str:
        """The outing's id."""
        return self.stream.removeprefix(OUTINGS)

    @property
    def seal(self) -> int:
        """What a row must be sealed with: it tells damage, and a row that was made in another way."""
        return crc32("\x1f".join([str(FORMAT), *map(str, self)]).encode())

    def told(self) -> Gist:
        """Return the gist."""
        return gists.gist(self.gist)

    @property
    def noted(self) -> tuple[SaidNote, ...]:
        """What was noted in it. Most have nothing: a gist that does not name its notes is not read for them."""
        return self.told().noted if '"noted"' in self.gist else ()

    def turned(self) -> tuple[ev.Event, ...]:
        """Return the events that a ledger is made of."""
        return gists.screws(self.screws)


class Index:
    """The rows of one journal, and what they were when they were looked at last."""

    def __init__(self) -> None:
        self._rows: dict[str, Row] = {}
        self._journal: Journal | None = None
        self._version = -1
        """Changes when another connection has written to the file."""
        self._appended = 0
        """How much was appended through this journal when it was looked at last."""

    def rows(self, journal: Journal) -> list[Row]:
        """Return the outings, the one written to last at the end."""
        self._look(journal)
        return sorted(self._rows.values(), key=lambda row: (row.last_at, row.stream))

    def row(self, journal: Journal, stream: str) -> Row | None:
        """Return one of them."""
        self._look(journal)
        return self._rows.get(stream)

    def keep(self, journal: Journal, rows: Sequence[Row]) -> None:
        """Keep rows with what their outings came to."""
        self._rows |= {row.stream: row for row in rows}
        self._write(journal, rows, ())

    def look_through(self, journal: Journal) -> int:
        """Make every row anew from its events, and return how many were not as the events say."""
        before = _stored(journal)
        found = {name: _made(journal, name) for name in journal.lengths(OUTINGS)}
        wrong = [row for name, row in found.items() if not _as(before.get(name), row)]
        gone = before.keys() - found.keys()
        self._write(journal, wrong, gone)
        self._journal = None
        return len([row for row in wrong if row.stream in before]) + len(gone)

    def _look(self, journal: Journal) -> None:
        with journal.within() as connection:
            (version,) = connection.execute("PRAGMA data_version").fetchone()
        if journal is not self._journal or version != self._version:
            self._rows = _stored(journal)
            lengths = journal.lengths(OUTINGS)
            behind = [n for n, length in lengths.items() if n not in self._rows or self._rows[n].length != length]
            gone = self._rows.keys() - lengths.keys()
            self._rows = {name: row for name, row in self._rows.items() if name in lengths}
        else:
            new = [n for n in dict.fromkeys(journal.appended[self._appended :]) if n.startswith(OUTINGS)]
            behind = [name for name in new if journal.length(name)]
            gone = self._rows.keys() & set(new) - set(behind)
            self._rows = {name: row for name, row in self._rows.items() if name not in gone}
        made = [_made(journal, name) for name in behind]
        self._rows |= {row.stream: row for row in made}
        if made or gone:
            self._write(journal, made, gone)
        self._journal, self._version, self._appended = journal, version, len(journal.appended)

    @staticmethod
    def _write(journal: Journal, rows: Iterable[Row], gone: Iterable[str]) -> None:
        """Store rows. Where that can't be done they are made anew the next time: nothing is lost by it."""
        with suppress(JournalError), journal.at_once() as connection:
            made = connection.execute("SELECT sql FROM sqlite_schema WHERE name = 'outings'").fetchone()
            if made != (TABLE,):
                connection.execute("DROP TABLE IF EXISTS outings")
                connection.execute(TABLE)
            connection.executemany("DELETE FROM outings WHERE stream = ?", [(name,) for name in gone])
            connection.executemany(WRITE, [(*row, row.seal) for row in rows])


def _stored(journal: Journal) -> dict[str, Row]:
    """Return the rows that are stored, and whole."""
    with journal.within() as connection:
        try:
            found = connection.execute(f"SELECT {', '.join(Row._fields)}, seal FROM outings").fetchall()
        except sqlite3.OperationalError:  # there is no such table yet
            return {}
    return {row.stream: row for *cells, seal in found if (row := Row(*cells)).seal == seal}


def _made(journal: Journal, stream: str) -> Row:
    """Return the row of an outing, from its events."""
    try:
        with journal.within() as connection:
            found = connection.execute(
                "SELECT body, at, number FROM events WHERE stream = ? ORDER BY number", (stream,)
            ).fetchall()
        read = gists.read([body for body, _, _ in found], [at for _, at, _ in found])
    except JournalError:  # a page of it is damaged: it must not stop the others
        found, read = [], ReadOuting(Gist(0.0, 0.0, "damaged"))
    length = found[-1][2] + 1 if found else journal.length(stream)
    told, turned = (msgspec.json.encode(one).decode() for one in (read.gist, read.screws))
    return Row(stream, length, read.gist.last_at, read.gist.ending, read.gist.engine, told, turned)


def _as(stored: Row | None, made: Row) -> bool:
    """Say whether a stored row is as its events say, whatever it came to."""
    return stored is not None and stored[:7] == made[:7]
