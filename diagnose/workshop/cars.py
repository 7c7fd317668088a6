"""Several cars on one day: each with its open walk, and when it ran last."""

from __future__ import annotations

from typing import NamedTuple

from diagnose.reason.carry import Outing
from diagnose.reason.state import effective
from diagnose.record.days import same_day
from diagnose.record.engines import Engine
from diagnose.workshop.session import Session, runs


class Car(NamedTuple):
    """One car: `outing` is its newest open walk, `ran` when its engine ran last on this day, as walks tell."""

    engine: Engine
    outing: Outing | None
    ran: float | None


def cars(session: Session) -> list[Car]:
    """Return the recorded cars, in the order in which they were added."""
    now, left = session.clock(), session.open_outings()
    walked = [*left, *session.finished()]
    found = []
    for name, engine in session.engines().items():
        times = [
            event.at
            for one in walked
            if one.walk.started.engine == name
            for _, event in effective(one.walk.events)
            if same_day(event.at, now) and runs(one.walk, event)
        ]
        outing = next((one for one in left if one.walk.started.engine == name), None)
        found.append(Car(engine, outing, max(times, default=None)))
    return found
