"""What a walk came to, in a value that can be kept beside the journal."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from diagnose.graph.model import Screw
from diagnose.graph.wording import amount
from diagnose.reason.carry import Outing
from diagnose.reason.events import Restored, Target, back_at
from diagnose.reason.passing import at_the_car
from diagnose.reason.state import effective
from diagnose.reason.walk import Walk


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
    """Turns that stand: one that was turned back is left out."""
    owed: tuple[str, ...]
    """Checks that were owed before a needle when it was last written to; none after a cure."""
    minutes: float = 0.0
    """At the car: absences between two answers are left out."""
    back: tuple[str, ...] = ()
    """Where screws went that went back to the record and stayed there."""


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
        turned=tuple(f"{one.screw} {amount(one.hours)} {one.way}" for one in walk.state.standing_turns),
        owed=() if ended else tuple(line.check for line in walk.view(outing.last_at).owed),
        minutes=at_the_car(walk.events),
        back=tuple(_went_back(walk)),
    )


def _went_back(walk: Walk) -> Iterator[str]:
    """Yield where each screw went that went back to the record, and was not turned after it."""
    went: dict[Screw, Target] = {}
    for number, event in effective(walk.events):
        if isinstance(event, Restored):
            went |= {one.screw: one for one in back_at(walk.events, number) if one.screw in event.screws}
    turned = {one.screw for one in walk.state.standing_turns}
    return (f"{screw} {amount(one.hours)}" for screw, one in went.items() if screw not in turned)
