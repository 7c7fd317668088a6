"""What the day's note says is not asked, and weather is not called another height."""

from __future__ import annotations

import pytest
from screens.hands import Clock
from shipped import load
from workshop.hours import BLUE, WEAK, good, later

from diagnose.record.engines import Engine
from diagnose.record.journal import Journal
from diagnose.tune.air import Air
from diagnose.workshop.session import Session

KNOWN = load()


@pytest.fixture
def shipped_session() -> Session:
    session = Session(KNOWN, Journal.in_memory(), Clock())
    session.add_engine(Engine(BLUE))
    return session


def trail(session: Session) -> list[str]:
    walk = session.start("will-not-hold-an-idle", session.engine(BLUE))
    return [line.what for line in walk.view(session.clock()).trail]


def test_a_mild_day_that_was_noted_answers_the_question_about_the_cold(shipped_session: Session) -> None:
    assert trail(shipped_session) == []
    shipped_session.note_day(Air(18, 101_000, 0.5), None)
    assert trail(shipped_session) == ["cold day, bare fins, from the day's note"]
    walk = shipped_session.walk
    assert walk is not None
    assert not walk.left_alone(shipped_session.clock())
    assert walk.state.healthy(walk.scope, "cold-air")


def test_a_cold_day_says_nothing_of_the_fins(shipped_session: Session) -> None:
    shipped_session.note_day(Air(2, 101_000, 0.5), None)
    assert trail(shipped_session) == []


@pytest.mark.parametrize(
    ("height", "told"),
    [
        (100.0, "the weather has lowered the pressure by 21 hPa"),
        (160.0, "the pressure is that of another height"),
        (None, "the pressure is that of other weather, or of another height"),
    ],
)
def test_pressure_that_fell_with_the_weather_is_not_called_another_height(
    session: Session, height: float | None, told: str
) -> None:
    high, low = Air(20, 102_500, 0.5), Air(20, 100_400, 0.5)
    session.note_day(high, WEAK, BLUE, elevation=None if height is None else 100.0)
    good(session, high)
    later(session, 24)
    session.note_day(low, WEAK, BLUE, elevation=height)
    found = session.explained(BLUE)
    assert found is not None
    assert told in found.why
