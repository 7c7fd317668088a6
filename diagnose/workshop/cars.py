"""Several cars on one day: each with its open walk, and when it ran last."""

from __future__ import annotations

from contextlib import suppress
from typing import NamedTuple

import msgspec

from diagnose.errors import DiagnoseError
from diagnose.reason.carry import Outing
from diagnose.reason.state import effective
from diagnose.reason.walk import Walk, replay
from diagnose.record.days import same_day
from diagnose.record.engines import Engine
from diagnose.workshop.car import going_on
from diagnose.workshop.session import Session, runs


class Car(NamedTuple):
    """One car: `outing` is its newest open walk, `now` that walk as it would go on now.

    `ran`: when its engine ran last on this day, as walks tell.
    """

    engine: Engine
    outing: Outing | None
    ran: float | None
    now: Walk | None = None


def cars(session: Session) -> list[Car]:
    """Return the recorded cars, in the order in which they were added."""
    left = session.open_outings()
    newest = {one.walk.started.engine: one for one in reversed(left)}
    now = {name: going_on(session, one.walk) for name, one in newest.items()}
    return [
        Car(engine, newest.get(name), _ran(session, name), now.get(name)) for name, engine in session.engines().items()
    ]


def _ran(session: Session, engine: str) -> float | None:
    """Return when an engine ran last today; a walk that can't be read says nothing."""
    now, times = session.clock(), list[float]()
    for row in session.rows():
        if row.engine != engine or not same_day(row.last_at, now):
            continue
        with suppress(DiagnoseError, msgspec.MsgspecError):
            walk = replay(session.knowledge, session.events_of(row))
            found = (event for _, event in effective(walk.events) if runs(walk, event))
            times += [event.at for event in found if same_day(event.at, now)]
    return max(times, default=None)
