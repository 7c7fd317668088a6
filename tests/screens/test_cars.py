"""Several cars on one day: one key lists them, a digit goes to that car."""

from __future__ import annotations

import pytest
from screens.hands import MEDIUM, SIZES, Clock, Make, app, begun, page, press, seen, walk

from diagnose.pages.cars import line
from diagnose.reason import events as ev
from diagnose.record.engines import Engine
from diagnose.workshop.car import car
from diagnose.workshop.cars import cars


@pytest.mark.parametrize("size", SIZES)
async def test_one_key_and_a_digit_go_from_car_to_car_and_back(make: Make, size: tuple[int, int]) -> None:
    async with make("revs-hang").run_test(size=size) as pilot:
        app(pilot).session.add_engine(Engine("red buggy"))
        await begun(pilot)
        await press(pilot, "1")
        assert page(pilot) == "Bench"
        await press(pilot, "k")
        assert "Which car?" in seen(pilot)
        assert "blue truggy" in seen(pilot)
        await press(pilot, "2")
        assert page(pilot) == "Home"
        assert "engine: red buggy" in seen(pilot)
        await press(pilot, "f10", "1")
        assert walk(pilot).started.engine == "blue truggy"
        assert app(pilot).at.engine == Engine("blue truggy")


async def test_each_car_says_what_it_owes_and_what_it_waits_for(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        session = app(pilot).session
        session.record(ev.Parked(session.clock(), "hold", ("a syringe",)))
        await press(pilot, "k")
        told = " ".join(seen(pilot).split())
        assert "waits for: a syringe" in told
        assert "owes" in told
        assert "has not run in a walk today" in told


async def test_on_another_day_the_cars_and_the_cars_page_say_that_as_much_is_owed(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await press(pilot, "1")
        session = app(pilot).session
        assert isinstance(session.clock, Clock)
        (before,) = cars(session)
        assert before.outing is not None
        session.clock.at += 2 * 86_400
        (after,) = cars(session)
        now = session.clock()
        assert after.now is not None
        owed = after.now.view(now).owed
        assert len(owed) > len(before.outing.walk.view(now).owed)
        assert len(owed) == len(car(session, "blue truggy").owed)
        assert f"owes {len(owed)}, " in line(after, now)


async def test_each_car_says_since_when_it_stands(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        session = app(pilot).session
        session.has_readied("igniter", "bottle", "wheels")
        session.record(ev.Prepared(session.clock(), "bring-to-heat", "ready", head=100.0))
        assert cars(session)[0].ran == session.clock()
        await press(pilot, "k")
        assert "ran just now" in " ".join(seen(pilot).split())


async def test_home_opens_the_cars_before_any_walk(make: Make) -> None:
    async with make().run_test(size=MEDIUM) as pilot:
        await press(pilot, "f10")
        assert "Which car?" in seen(pilot)
