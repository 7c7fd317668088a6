"""An engine, days and fuels, and hours that go by."""

from __future__ import annotations

from screens.hands import Clock

from diagnose.tune.air import Air
from diagnose.tune.fuel import Blend
from diagnose.tune.needles import Good, Turned
from diagnose.workshop.session import Session

BLUE = "blue truggy"
HOUR = 3600.0
HOT, COLD = Air(35, 100_400, 0.4), Air(10, 100_400, 0.6)
WEAK, STRONG = Blend(0.16, 0.10), Blend(0.25, 0.10)


def later(session: Session, hours: float) -> float:
    assert isinstance(session.clock, Clock)
    session.clock.at += hours * HOUR
    return session.clock.at


def good(session: Session, air: Air = COLD, fuel: Blend = WEAK) -> None:
    """Mark the tune good on a day with this air and this fuel."""
    session.note_day(air, fuel, BLUE)
    session.write(BLUE, Good(later(session, 0.1), session.conditions(BLUE)))


def leaner(session: Session, hours: float = 1.0) -> None:
    session.write(BLUE, Turned(later(session, 0.1), "high needle", "leaner", hours))
