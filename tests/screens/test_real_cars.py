"""Real cars at the table: each opens the walk of its own engine, and only one engine runs at a time."""

from __future__ import annotations

import pytest
from screens.hands import SIZES, Hand, Make, app, go_on, page, press, seen, step, tap, until, walk, write
from screens.test_looks import THUMB
from syrupy.assertion import SnapshotAssertion

from diagnose.graph.model import RUNNING
from diagnose.record.engines import Engine
from diagnose.screens.app import NeedlesLast

pytestmark = pytest.mark.slow

RED, BLUE = "red buggy", "blue truggy"


@pytest.fixture
def two(make: Make) -> NeedlesLast:
    """An app with two engines in its workshop."""
    opened = make()
    opened.session.add_engine(Engine(RED))
    return opened


async def at_engines(pilot: Hand) -> None:
    """Come to the list of engines for a seat."""
    await press(pilot, "f6" if page(pilot) == "Home" else "a")
    await tap(pilot, "a real car")
    if page(pilot) == "PracticeStart":
        await press(pilot, "enter")
    assert page(pilot) == "Engines"


async def seat(pilot: Hand, *names: str) -> None:
    """Give the cars of these engines a seat, by keys and taps."""
    for name in names:
        await at_engines(pilot)
        await tap(pilot, name)
        if page(pilot) == "Engines":
            await press(pilot, "enter")
        assert page(pilot) == "PracticeBench", seen(pilot)


async def begin(pilot: Hand) -> None:
    """Begin the walk of the car whose turn it is: its engine's revs hang."""
    await press(pilot, "enter")
    assert page(pilot) == "Listing"
    await press(pilot, "slash")
    await write(pilot, "hang")
    await press(pilot, "enter", "enter")
    assert page(pilot) == "Beware"
    await go_on(pilot)
    if page(pilot) == "History":
        await go_on(pilot)
    assert page(pilot) == "Bench", seen(pilot)


async def to_a_running_step(pilot: Hand) -> None:
    await until(pilot, "prepare")
    assert step(pilot).state in RUNNING


async def test_a_seat_opens_the_walk_of_its_engine_and_keeps_its_place(two: NeedlesLast) -> None:
    async with two.run_test() as pilot:
        in_hand = app(pilot).at.engine
        await seat(pilot, RED, BLUE)
        await press(pilot, "1")
        await begin(pilot)
        assert walk(pilot).started.engine == RED
        await press(pilot, "1")
        at = step(pilot).id
        await press(pilot, "escape")
        assert page(pilot) == "PracticeBench"
        assert seen(pilot).startswith(f"  {RED} · real car · ")
        await press(pilot, "2")
        await begin(pilot)
        assert walk(pilot).started.engine == BLUE
        await press(pilot, "escape", "1", "enter")
        if page(pilot) == "Beware":
            await press(pilot, "enter")
        assert (walk(pilot).started.engine, step(pilot).id) == (RED, at)
        await press(pilot, "escape", "escape")
        assert page(pilot) == "Home"
        assert app(pilot).at.engine == in_hand


async def test_a_new_engine_can_be_named_at_the_table(make: Make) -> None:
    async with make(engine=None).run_test() as pilot:
        await at_engines(pilot)
        await press(pilot, "n")
        assert page(pilot) == "EngineForm"
        await write(pilot, "green")
        await press(pilot, "ctrl+s")
        assert page(pilot) == "PracticeBench"
        assert [one.engine for one in app(pilot).at.table.seats] == ["green"]


async def test_an_open_walk_of_that_engine_is_offered_before_the_symptoms(two: NeedlesLast) -> None:
    two.session.start("revs-hang", two.session.engine(RED))
    two.session.start("revs-hang", two.session.engine(BLUE))
    async with two.run_test() as pilot:
        await seat(pilot, RED)
        await press(pilot, "enter")
        assert seen(pilot).count("go on:") == 1
        await press(pilot, "enter")
        assert walk(pilot).started.engine == RED
        assert len(two.session.outings()) == 2


async def test_a_step_that_runs_the_engine_waits_while_another_real_car_runs(two: NeedlesLast) -> None:
    async with two.run_test() as pilot:
        await seat(pilot, RED, BLUE)
        await press(pilot, "r", "1")  # the blue one runs
        await begin(pilot)
        told = walk(pilot)
        for _ in range(20):
            if page(pilot) == "PracticeBench":
                break
            await go_on(pilot)
        assert page(pilot) == "PracticeBench", seen(pilot)
        assert f"that of {BLUE} is running" in seen(pilot)
        assert "press 2, then r" in " ".join(seen(pilot).split())
        assert len(walk(pilot).events) > len(told.events)  # the answer before it is kept
        await press(pilot, "enter")
        assert page(pilot) == "PracticeBench"
        await press(pilot, "2", "r", "1")
        assert "No other engine is running now" in seen(pilot)
        await press(pilot, "enter")
        while page(pilot) in ("Beware", "Ready"):
            await go_on(pilot)
        assert step(pilot).state in RUNNING
        assert [one.running for one in app(pilot).at.table.seats] == [True, False]


async def test_leaving_a_running_step_keeps_the_other_cars_from_running(two: NeedlesLast) -> None:
    async with two.run_test(notifications=True) as pilot:
        await seat(pilot, RED)
        await begin(pilot)
        await to_a_running_step(pilot)
        await press(pilot, "escape")
        assert "Its engine is running. Press r" in seen(pilot)
        await seat(pilot, BLUE)
        await press(pilot, "r")
        assert [one.running for one in app(pilot).at.table.seats] == [True, False]
        await press(pilot, "1", "r", "2", "r")
        assert [one.running for one in app(pilot).at.table.seats] == [False, True]


async def test_the_end_of_a_walk_goes_back_to_the_table_and_the_next_one_asks_anew(two: NeedlesLast) -> None:
    async with two.run_test() as pilot:
        await seat(pilot, RED)
        await begin(pilot)
        await until(pilot, "retest", tank_holds_pressure="2")
        await press(pilot, "1")
        assert page(pilot) == "End"
        assert "back to the table" in seen(pilot)
        await press(pilot, "1")
        assert page(pilot) == "PracticeBench"
        assert "The walk has ended" in seen(pilot)
        assert not app(pilot).at.table.seats[0].running
        await press(pilot, "enter")
        assert page(pilot) == "Listing"


async def test_a_walk_from_home_still_ends_at_home(make: Make) -> None:
    async with make("revs-hang").run_test() as pilot:
        await press(pilot, "enter", "n", "escape")
        assert page(pilot) == "Home"


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
async def test_a_car_that_has_to_wait_looks_as_before(
    two: NeedlesLast, screenful: SnapshotAssertion, size: tuple[int, int]
) -> None:
    async with two.run_test(size=size) as pilot:
        await seat(pilot, RED, BLUE)
        await press(pilot, "r", "1")
        await begin(pilot)
        for _ in range(20):
            if page(pilot) == "PracticeBench":
                break
            await go_on(pilot)
        assert THUMB.sub(" ", seen(pilot)) == screenful
