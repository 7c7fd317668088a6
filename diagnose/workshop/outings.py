"""The walks of a journal, read: all of them, one by its id, those that were left, and what each came to.

One walk is read by itself. What is asked of many is asked of the index first, and folded only where that is needed.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress

import msgspec

from diagnose import __version__
from diagnose.errors import DiagnoseError
from diagnose.graph.problem import did_you_mean
from diagnose.reason import events as ev
from diagnose.reason.carry import Outing
from diagnose.reason.walk import replay
from diagnose.record.days import same_day
from diagnose.record.engines import Engine
from diagnose.record.index import OUTINGS, Row
from diagnose.record.notes import said_right
from diagnose.record.unread import Unread, unread
from diagnose.workshop.came_to import CarOuting, car_outing
from diagnose.workshop.workshop import Workshop

LOOKED_AT = 40
"""How many of the newest walks are looked at for one that is still open."""

LAST = "last"
"""Stands for the id of the outing that was written to last."""

_decoder = msgspec.json.Decoder(CarOuting)


class Outings(Workshop):
    """A workshop, and the walks that were made in it."""

    def rows(self) -> list[Row]:
        """Return the walks at a glance, the one written to last at the end."""
        return self.ledgers.index.rows(self.journal)

    def last_engine(self) -> Engine | None:
        """Return the engine of the newest walk, else the one added last, else None."""
        known = self.engines()
        walked = next((row.engine for row in reversed(self.rows()) if row.engine in known), None)
        return known[walked] if walked else next(reversed(known.values()), None)

    def outings(self) -> list[Outing]:
        """Return the walks of the journal, oldest first; those that this knowledge can't fold are left out."""
        return [one for one in map(self._tried, self.rows()) if isinstance(one, Outing)]

    def open_outings(self) -> list[Outing]:
        """Return the walks without a verdict, newest first, out of the newest `LOOKED_AT`."""
        return self.left()[0]

    def left(self) -> tuple[list[Outing], list[Unread]]:
        """Return the same, and those of them that can't be shown and were not put away."""
        newest = [row for row in reversed(self.rows()[-LOOKED_AT:]) if row.ending != "ended"]
        found = [self._tried(row) for row in newest if row.ending != "unsure" or self._open(row)]
        return [one for one in found if isinstance(one, Outing) and one.open], [
            one for one in found if isinstance(one, Unread)
        ]

    def unread(self) -> list[Unread]:
        """Return the walks of the whole journal that can't be shown, oldest first."""
        return [one for one in map(self._tried, self.rows()) if isinstance(one, Unread)]

    def outing_called(self, name: str) -> Outing:
        """Return an outing by its id, or the one written to last, which is called `LAST`. No other one is read.

        Raises `DiagnoseError` for one that is not there, or can't be shown.
        """
        found = self._tried(self.row_called(name))
        if isinstance(found, Unread):
            raise DiagnoseError(found.told)
        return found

    def row_called(self, name: str) -> Row:
        """Return the same at a glance: also one that can't be shown."""
        rows = self.rows()
        found = rows[-1] if rows and name == LAST else self.ledgers.index.row(self.journal, f"{OUTINGS}{name}")
        if found is None:
            hint = did_you_mean(name, [row.id for row in rows]) or "; 'diagnose outing list' names them"
            raise DiagnoseError(f"there is no outing '{name}'{hint}")
        return found

    def events_of(self, row: Row) -> list[ev.Event]:
        """Return the events of an outing, its notes as they were put right.

        Raises `msgspec.MsgspecError` or `JournalError` for what can't be read.
        """
        events = [ev.from_json(body) for body in self.journal.read(row.stream)]
        right = said_right(self.journal, row.id) if row.noted else {}
        for number, text in right.items():
            if number < len(events) and isinstance(noted := events[number], ev.Noted):
                events[number] = msgspec.structs.replace(noted, text=text)
        return events

    def came_to(self, rows: Sequence[Row]) -> dict[str, CarOuting]:
        """Return what outings came to by this knowledge, by id and in their order, without what can't be shown.

        It is kept with the index: an outing is folded for it when it has changed, or the knowledge has.
        """
        made_with, made, found = f"{__version__} {self.knowledge.digest}", list[Row](), dict[str, CarOuting]()
        for row in rows:
            if row.came_to and row.made_with == made_with:
                with suppress(msgspec.MsgspecError):
                    found[row.id] = _decoder.decode(row.came_to)
                    continue
            tried = self._tried(row)
            if isinstance(tried, Outing):
                found[row.id] = car_outing(tried)
                told = msgspec.json.encode(found[row.id]).decode()
                made.append(row._replace(made_with=made_with, came_to=told))
        if made:
            self.ledgers.index.keep(self.journal, made)
        return found

    def why_not(self, row: Row) -> str:
        """Return why an outing can't be shown; "" where it can."""
        found = self._tried(row)
        return found.told if isinstance(found, Unread) else ""

    def _open(self, row: Row) -> bool:
        """Say whether a walk goes on that its events alone can't tell of; one that can't be shown has ended."""
        found = self.came_to([row])
        return row.id in found and found[row.id].outcome == "open"

    def _tried(self, row: Row) -> Outing | Unread:
        """Return a walk, or why it can't be shown."""
        try:
            walk = replay(self.knowledge, self.events_of(row))
            walk.view(row.last_at)  # all of it, here: an outing that can't be shown must not stop the others
        except Exception as error:  # whatever other knowledge, or damage, has left there
            return unread(row, self.knowledge, str(error) if isinstance(error, DiagnoseError) else "")
        return Outing(row.id, walk, row.last_at)

    def _today(self, engine: str, at: float) -> list[Outing]:
        """Return the outings of an engine on the day of `at`, oldest first: no answer outlives its day."""
        mine = [row for row in self.rows() if row.engine == engine and same_day(row.last_at, at)]
        return [one for one in map(self._tried, mine) if isinstance(one, Outing)]

    def _newest(self, engine: str) -> Outing | None:
        """Return the newest outing of an engine: what it left open nobody has closed, what it found nobody mended."""
        newest = next((row for row in reversed(self.rows()) if row.engine == engine), None)
        found = self._tried(newest) if newest is not None else None
        return found if isinstance(found, Outing) else None
