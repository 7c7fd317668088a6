"""An engine that has been tuned for three weeks: its ledger, its days and its well card."""

from __future__ import annotations

from screens.hands import Clock

from diagnose.record.engines import Engine
from diagnose.screens.app import NeedlesLast
from diagnose.tune.air import Air
from diagnose.tune.fuel import Blend
from diagnose.tune.needles import Baseline, Good, Ledger, LedgerEntry, Turned, caliper, closed, flush
from diagnose.workshop.session import Session

NAME = "blue truggy"
DAY = 86_400.0
MILD, HOT = Air(20, 101_300, 0.5), Air(31, 100_400, 0.55)
WEAK, STRONG = Blend(0.16, 0.10), Blend(0.25, 0.12)


def ledger(app: NeedlesLast, name: str = NAME) -> Ledger:
    return app.session.ledger(name)


def last(app: NeedlesLast, name: str = NAME) -> LedgerEntry:
    """Return what was written last."""
    return ledger(app, name).entries[-1]


def tuned(app: NeedlesLast, name: str = NAME) -> NeedlesLast:
    """Write three weeks into the journal of an app, and leave its clock as it was."""
    session = app.session
    clock = session.clock
    assert isinstance(clock, Clock)
    now = clock.at
    _begin(session, clock, name, now)
    clock.at = now - 3 * DAY
    session.note_day(MILD, WEAK)
    session.write(name, Good(clock.at, session.conditions(name), "medium"))
    clock.at = now - 7200
    session.note_day(HOT, STRONG, name, 120.0)
    session.write(name, Turned(clock.at, "low needle", "leaner", 1, reason="loads up at idle", result="better"))
    clock.at = now - 3600
    session.write(name, Turned(clock.at, "high needle", "leaner", 0.5))
    clock.at = now
    app.at.engine = session.engine(name)
    return app


def _begin(session: Session, clock: Clock, name: str, now: float) -> None:
    clock.at = now - 21 * DAY
    start = {
        "low needle": closed(14),
        "mid needle": caliper(1.25, 0.5),
        "high needle": closed(38),
        "idle stop": flush(2, sunk=True),
    }
    if session.engine(name).variant.needles == 2:
        del start["mid needle"]
    session.write(name, Baseline(clock.at, start, reason="the maker's sheet"))  # type: ignore[arg-type]
    clock.at += 3600
    session.note_day(Air(12, 101_900, 0.6), WEAK)
    session.write(name, Good(clock.at, session.conditions(name), "medium"))
    for way, result in (("leaner", "better"), ("leaner", "better"), ("richer", "worse"), ("leaner", "same")):
        clock.at += 3600
        session.write(name, Turned(clock.at, "high needle", way, 1, reason="it was rich", result=result))  # type: ignore[arg-type]


def added(app: NeedlesLast, engine: Engine) -> NeedlesLast:
    """Add an engine, and take it in hand."""
    app.at.engine = app.session.add_engine(engine)
    return app
