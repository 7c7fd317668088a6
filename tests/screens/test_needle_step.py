"""A needle step on the screen: one screw, then listen, the stop by itself, and the head after the cure."""

from __future__ import annotations

import pytest
from screens.hands import MEDIUM, SIZES, Make, begun, page, press, seen, step, until, walk, write

from diagnose.reason import events as ev

pytestmark = pytest.mark.slow


@pytest.mark.parametrize("size", SIZES)
async def test_the_stop_follows_by_itself_and_the_head_is_asked_after_the_cure(
    make: Make, size: tuple[int, int]
) -> None:
    async with make("revs-hang").run_test(size=size) as pilot:
        await begun(pilot)
        await until(pilot, "adjust", pinch_at_idle="2")
        assert len(step(pilot).turns) == 1
        await press(pilot, "1")
        await until(pilot, "follow")
        assert "does it idle" in " ".join(seen(pilot).split())
        await press(pilot, "2")
        await until(pilot, "retest")
        await press(pilot, "1")
        while page(pilot) == "Bench":
            await press(pilot, "1")
        assert page(pilot) == "HeadAfter"
        await write(pilot, "101")
        await press(pilot, "enter")
        assert page(pilot) == "End"
        assert walk(pilot).events[-1] == ev.HeadRead(walk(pilot).events[-1].at, 101.0)
        assert "✓ Cured" in seen(pilot)


async def test_the_head_may_be_left_out(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await until(pilot, "adjust", pinch_at_idle="2")
        await press(pilot, "1")
        await until(pilot, "follow")
        await press(pilot, "1")
        await until(pilot, "retest")
        await press(pilot, "1")
        while page(pilot) == "Bench":
            await press(pilot, "1")
        await press(pilot, "down", "enter")
        assert page(pilot) == "End"
        assert walk(pilot).events[-1] == ev.HeadRead(walk(pilot).events[-1].at)
