"""Everything that is known of one car: its ledger, its outings with what they came to, and what was noted of it."""

from __future__ import annotations

from itertools import chain
from typing import NamedTuple

from diagnose.reason.view import OwedLine
from diagnose.reason.walk import Walk
from diagnose.record.engines import Engine
from diagnose.record.index import Row
from diagnose.record.notes import KeptNote, notes, notes_of_walks
from diagnose.tune.needles import Ledger
from diagnose.tune.well import Card
from diagnose.workshop.came_to import CarOuting
from diagnose.workshop.session import Session


class KnownCar(NamedTuple):
    """One car."""

    engine: Engine
    ledger: Ledger
    card: Card | None
    outings: tuple[CarOuting, ...]
    """Oldest first."""
    notes: tuple[KeptNote, ...]
    """Of the car and of its outings, oldest first."""
    owed: tuple[OwedLine, ...]
    """What is owed now before a needle, in the open walk that was written to last."""

    heads: tuple[tuple[float, float], ...]
    """When the head was read on its walks, and its °C."""
    unshown: tuple[Row, ...] = ()
    """Walks that can't be shown by this knowledge, or are damaged."""

    @property
    def left(self) -> tuple[CarOuting, ...]:
        """Return its open walks, the one written to last at the end."""
        return tuple(one for one in self.outings if one.outcome == "open")


def car(session: Session, name: str) -> KnownCar:
    """Return what is known of a car; raises `DiagnoseError` where there is none of that name."""
    engine = session.engine(name)
    rows = [row for row in session.rows() if row.engine == name]
    mine = session.came_to(rows)
    noted = notes_of_walks(session.journal, {row.id: row.noted for row in rows})
    return KnownCar(
        engine,
        session.ledger(name),
        session.card(name),
        tuple(mine.values()),
        tuple(sorted([*notes(session.journal, name), *chain(*noted.values())], key=lambda one: one.at)),
        owed=next((owed_now(session, one.id) for one in reversed(mine.values()) if one.outcome == "open"), ()),
        unshown=tuple(row for row in rows if row.id not in mine),
        heads=tuple(sorted(one for outing in session.ledgers.outdoors(session.journal, name) for one in outing.heads)),
    )


def owed_now(session: Session, outing: str) -> tuple[OwedLine, ...]:
    """Return what a walk would owe if it went on now."""
    return going_on(session, session.outing_called(outing).walk).view(session.clock()).owed


def going_on(session: Session, walk: Walk) -> Walk:
    """Return a walk as it would go on now: on another day all is owed again. Nothing is stored."""
    later = session.another_day(walk, session.clock())
    return walk.plus(later) if later else walk
