"""Everything that is known of one car: its ledger, its outings with what they came to, and what was noted of it."""

from __future__ import annotations

from typing import NamedTuple

from diagnose.record.engines import Engine
from diagnose.record.notes import CarNote, notes
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
    notes: tuple[CarNote, ...]


def car(session: Session, name: str) -> KnownCar:
    """Return what is known of a car; raises `DiagnoseError` where there is none of that name."""
    engine = session.engine(name)
    mine = session.came_to([row for row in session.rows() if row.engine == name])
    return KnownCar(
        engine,
        session.ledger(name),
        session.card(name),
        tuple(mine.values()),
        tuple(notes(session.journal, name)),
    )
