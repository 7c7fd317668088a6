"""Everything that is known of one car: its ledger, its outings with what they came to, and what was noted of it."""

from __future__ import annotations

from typing import NamedTuple

from msgspec import Struct

from diagnose.reason.carry import Outing
from diagnose.reason.view import OwedLine
from diagnose.record.engines import Engine
from diagnose.record.notes import KeptNote, notes
from diagnose.tune.needles import Ledger
from diagnose.tune.well import Card
from diagnose.workshop.session import Session


class CarOuting(Struct, frozen=True):
    """What one walk of a car came to. Times in seconds since the epoch; faults and checks by id."""

    id: str
    symptom: str
    begun: float
    ended: float
    outcome: str
    """``cured``, ``nothing is wrong``, ``handed over``, ``stopped``, or ``open``."""
    because: str
    mended: tuple[str, ...]
    found: tuple[str, ...]
    """Faults that were found and not mended."""
    turned: tuple[str, ...]
    owed: tuple[str, ...]
    """Checks that were owed before a needle when it was last written to; none after a cure."""

    @property
    def minutes(self) -> float:
        """Minutes from its beginning to the last answer."""
        return (self.ended - self.begun) / 60


class KnownCar(NamedTuple):
    """One car."""

    engine: Engine
    ledger: Ledger
    card: Card | None
    outings: tuple[CarOuting, ...]
    """Oldest first."""
    notes: tuple[KeptNote, ...]
    owed: tuple[OwedLine, ...]
    """What is owed now before a needle, in the open walk that was written to last."""

    heads: tuple[tuple[float, float], ...]
    """When the head was read on its walks, and its °C."""

    @property
    def left(self) -> tuple[CarOuting, ...]:
        """Return its open walks, the one written to last at the end."""
        return tuple(one for one in self.outings if one.outcome == "open")


def car(session: Session, name: str) -> KnownCar:
    """Return what is known of a car; raises `DiagnoseError` where there is none of that name."""
    engine = session.engine(name)
    mine = [one for one in session.outings() if one.walk.started.engine == name]
    return KnownCar(
        engine,
        session.ledger(name),
        session.card(name),
        tuple(map(car_outing, mine)),
        tuple(notes(session.journal, name)),
        owed=next((_owed_now(session, one) for one in reversed(mine) if one.open), ()),
        heads=tuple(sorted(one for outing in session.ledgers.outdoors(session.journal, name) for one in outing.heads)),
    )


def _owed_now(session: Session, outing: Outing) -> tuple[OwedLine, ...]:
    """Return what a walk would owe if it went on now: on another day all is owed again."""
    now = session.clock()
    later = session.another_day(outing.walk, now)
    return (outing.walk.plus(later) if later else outing.walk).view(now).owed


def car_outing(outing: Outing) -> CarOuting:
    """Return what a walk came to."""
    walk = outing.walk
    verdict, standing = walk.verdict(), walk.standing
    ended = verdict is not None and verdict.cured
    return CarOuting(
        id=outing.id,
        symptom=walk.symptom,
        begun=walk.started.at,
        ended=outing.last_at,
        outcome="open" if verdict is None else "cured" if verdict.cured else verdict.outcome,
        because="" if verdict is None else verdict.because,
        mended=() if verdict is None else verdict.mended,
        found=() if ended else tuple(standing.found),
        turned=tuple(f"{one.screw} {one.hours:g} h {one.way}" for one in walk.state.adjustments),
        owed=() if ended else tuple(line.check for line in walk.view(outing.last_at).owed),
    )
