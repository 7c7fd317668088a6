"""Time passes in front of the screen, and what can't be shown is named on home."""

from __future__ import annotations

import pytest
from screens.hands import (
    MEDIUM,
    NARROW,
    SIZES,
    Clock,
    Hand,
    Make,
    app,
    begun,
    page,
    press,
    seen,
    step,
    toast,
    until,
    walk,
)

from diagnose.reason import events as ev

MINUTE, HOUR = 60.0, 3600.0


def later(pilot: Hand, seconds: float) -> None:
    clock = app(pilot).session.clock
    assert isinstance(clock, Clock)
    clock.at += seconds


async def test_an_answer_after_an_absence_comes_after_the_question_what_has_happened(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await press(pilot, "1")
        asked, count = step(pilot).id, len(walk(pilot).events)
        later(pilot, 25 * MINUTE)
        await press(pilot, "2")
        assert page(pilot) == "Since"
        assert len(walk(pilot).events) == count
        assert "Your last answer that counts was at 08:00." in seen(pilot)
        await press(pilot, "1")
        assert step(pilot).id == asked
        assert walk(pilot).events[-1] == ev.Happened(app(pilot).session.clock(), "nothing")
        await press(pilot, "1")
        assert len(walk(pilot).events) == count + 2


async def test_a_resumed_walk_asks_what_has_happened(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await press(pilot, "1", "escape")
        later(pilot, 25 * MINUTE)
        await press(pilot, "enter", "1", "enter")
        assert page(pilot) == "Since"
        await press(pilot, "5")
        assert walk(pilot).state.answers == {}


async def test_a_check_that_was_chosen_is_asked_again_after_an_absence(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await press(pilot, "1", "a", "enter")
        chosen = step(pilot).id
        assert chosen == app(pilot).session.asked
        later(pilot, 25 * MINUTE)
        await press(pilot, "1", "1")
        assert step(pilot).id == chosen


async def test_every_key_that_changes_the_walk_asks_first_after_an_absence(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await press(pilot, "1", "1")
        later(pilot, 25 * MINUTE)
        await press(pilot, "u", "enter")
        assert page(pilot) == "Since"
        await press(pilot, "1", "u")
        assert "since then: nothing" in seen(pilot)


async def test_in_the_same_window_another_day_begins_with_the_guards(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM, notifications=True) as pilot:
        await begun(pilot)
        await until(pilot, "prepare")
        later(pilot, 24 * HOUR)
        await press(pilot, "down", "enter")
        assert "It is another day, or hours later: all is owed again" in toast(pilot)
        assert step(pilot).kind == "ask"
        assert walk(pilot).state.answers == {}
        assert "needles: open" not in seen(pilot)


@pytest.mark.parametrize("size", SIZES)
async def test_home_tells_two_unfinished_walks_of_one_symptom_apart_by_their_dates(
    make: Make, size: tuple[int, int]
) -> None:
    async with make("revs-hang").run_test(size=size, notifications=True) as pilot:
        await begun(pilot)
        await press(pilot, "1", "escape")
        later(pilot, 49 * HOUR)
        await press(pilot, "down", "enter", "escape")
        assert "2027-01-15 08:00" in seen(pilot)
        assert "2027-01-17 09:00" in seen(pilot)


@pytest.mark.parametrize("size", [MEDIUM, NARROW])
async def test_a_walk_that_can_not_be_shown_is_named_on_home(make: Make, size: tuple[int, int]) -> None:
    made = make()
    made.session.start("revs-hang", made.session.engine("blue truggy"))
    stream = f"outing/{made.session.outing}"
    made.session.journal.append(stream, 1, ['{"kind":"later","at":1.0}'], made.session.clock())
    async with made.run_test(size=size, notifications=True) as pilot:
        await pilot.pause()
        assert "! 2027-01-15 08:00 can't be shown:" in seen(pilot)
        await press(pilot, "enter")
        assert "All of it is kept." in toast(pilot)
        assert page(pilot) == "Home"
        await press(pilot, "f7")
        assert "2027-01-15 08:00 can't be shown" not in seen(pilot)
        assert len(made.session.journal.read(stream)) == 3
