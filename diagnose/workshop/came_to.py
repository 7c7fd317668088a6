"""What a walk came to, in a value that can be kept beside the journal."""

from __future__ import annotations

from msgspec import Struct

from diagnose.reason.carry import Outing
from diagnose.reason.passing import at_the_car


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
    minutes: float = 0.0
    """At the car: absences between two answers are left out."""


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
        minutes=at_the_car(walk.events),
    )
