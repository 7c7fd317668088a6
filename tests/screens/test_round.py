"""The page of a round: one key ticks a line and goes on, one opens it; each tick is on disk before the next line."""

from __future__ import annotations

import pytest
from screens.hands import Hand, Make, app, begun, page, press, seen, step, walk

from diagnose.graph.model import Knowledge
from diagnose.reason import events as ev
from diagnose.reason.explain import owed_plan

pytestmark = pytest.mark.slow

KEYS, SAFETY = 14, 7
"""No more keys than these for all owed looks of hanging revs, everything sound, from the first page of the walk; and no
more for safety: four warnings are read, one at a time, and three things answered before the engine runs."""


def ticked(pilot: Hand) -> list[str]:
    """Return the checks that the journal has an answer of."""
    journal = app(pilot).session.journal
    events = [ev.from_json(body) for body in journal.read(journal.streams("outing/")[-1].name)]
    return [event.check for event in events if isinstance(event, ev.Answered)]


async def test_one_key_ticks_the_line_at_hand_and_it_is_stored_before_the_next(make: Make, shipped: Knowledge) -> None:
    async with make("revs-hang", knowledge=shipped).run_test(size=(80, 24)) as pilot:
        await begun(pilot)
        await press(pilot, "r")
        assert page(pilot) == "RoundList"
        assert "▸ barrel at rest: it rests on its stop and follows the trigger" in seen(pilot)
        assert "· fail-safe: it shuts, or goes to brake" in seen(pilot)
        assert ticked(pilot) == []
        await press(pilot, "1")
        assert ticked(pilot) == ["barrel-at-rest"]
        assert "✓ barrel at rest" in seen(pilot)
        assert "▸ fail-safe" in seen(pilot)
        await press(pilot, "1")
        assert ticked(pilot) == ["barrel-at-rest", "fail-safe-closes"]


async def test_one_key_opens_the_line_with_its_answers_and_the_list_goes_on_after(
    make: Make, shipped: Knowledge
) -> None:
    async with make("revs-hang", knowledge=shipped).run_test(size=(80, 24)) as pilot:
        await begun(pilot)
        await press(pilot, "r", "1", "2")
        assert (page(pilot), step(pilot).id) == ("Bench", "fail-safe-closes")
        await press(pilot, "1")
        assert page(pilot) == "RoundList"
        assert ticked(pilot) == ["barrel-at-rest", "fail-safe-closes"]


async def test_who_leaves_the_list_answers_at_the_bench_from_then_on(make: Make, shipped: Knowledge) -> None:
    async with make("revs-hang", knowledge=shipped).run_test(size=(80, 24)) as pilot:
        await begun(pilot)
        await press(pilot, "r", "1", "escape")
        assert (page(pilot), step(pilot).id) == ("Bench", "fail-safe-closes")
        await press(pilot, "1")
        assert page(pilot) == "Bench"


async def test_all_that_hanging_revs_owe_is_ticked_in_fourteen_keys_and_seven_for_safety(
    make: Make, shipped: Knowledge
) -> None:
    async with make("revs-hang", knowledge=shipped).run_test(size=(80, 24)) as pilot:
        await begun(pilot)
        await press(pilot, "r")
        keys, safety, owed = 3, 0, {look.id for look in owed_plan(walk(pilot))}
        while not owed <= set(ticked(pilot)):
            if page(pilot) in ("Beware", "Ready"):
                safety += 1
            else:
                keys += 1
            await press(pilot, "enter" if page(pilot) == "Beware" else "1")
            assert keys <= KEYS, page(pilot)
            assert safety <= SAFETY, page(pilot)


async def test_a_warning_that_is_new_stands_on_the_list_above_the_line_that_it_is_for(
    make: Make, shipped: Knowledge
) -> None:
    async with make("revs-hang", knowledge=shipped).run_test(size=(80, 24)) as pilot:
        await begun(pilot)
        await press(pilot, "r", "1", "1", "1")
        assert page(pilot) == "RoundList"
        told = seen(pilot)
        assert "! Warning: parts that spin" in told
        assert "Wear safety glasses" in told
        assert told.index("Wear safety glasses") < told.index("▸ wiggle and roll")
        assert "spinning-parts" not in app(pilot).session.told  # the line is not ticked yet
        await press(pilot, "1")
        assert "spinning-parts" in app(pilot).session.told


async def test_a_warning_that_a_small_window_has_no_room_for_comes_on_its_own_page(
    make: Make, shipped: Knowledge
) -> None:
    async with make("revs-hang", knowledge=shipped).run_test(size=(44, 20)) as pilot:
        await begun(pilot)
        await press(pilot, "r", "1", "1", "1")
        assert page(pilot) == "Beware"
        await press(pilot, "enter")
        assert page(pilot) == "RoundList"
        assert "▸ wiggle and roll" in seen(pilot)


async def test_a_line_that_needs_the_running_engine_asks_first_whether_it_may_run(
    make: Make, shipped: Knowledge
) -> None:
    async with make("revs-hang", knowledge=shipped).run_test(size=(80, 24)) as pilot:
        await begun(pilot)
        await press(pilot, "r")
        for _ in range(KEYS):
            if page(pilot) != "Ready":
                await press(pilot, "1")
        await press(pilot, "1", "1", "1")
        assert page(pilot) == "RoundList"
        assert "! Warning" in seen(pilot)
        assert "▸ bubbles in the fuel line" in seen(pilot)


async def test_who_looks_at_the_time_comes_back_to_the_list(make: Make, shipped: Knowledge) -> None:
    async with make("revs-hang", knowledge=shipped).run_test(size=(80, 24)) as pilot:
        await begun(pilot)
        await press(pilot, "r", "1", "t", "escape")
        assert page(pilot) == "RoundList"
        assert "▸ fail-safe" in seen(pilot)
