"""Three things are answered before the engine runs: on their own page, one after another, with a way to say not yet."""

from __future__ import annotations

import pytest
from screens.hands import MEDIUM, NARROW, Make, app, begun, go_on, page, press, seen, step, tap


@pytest.mark.parametrize("size", [MEDIUM, NARROW])
async def test_a_step_that_runs_the_engine_comes_after_three_answers(make: Make, size: tuple[int, int]) -> None:
    async with make("revs-hang").run_test(size=size) as pilot:
        await begun(pilot)
        for _ in range(20):
            if page(pilot) == "Ready":
                break
            await go_on(pilot)
        assert "Where is the igniter?" in seen(pilot)
        await press(pilot, "2")
        assert page(pilot) == "Ready"
        assert "Take it off first." in seen(pilot)
        await press(pilot, "1")
        assert "Take it off first." not in seen(pilot)
        assert "How is the fuel bottle?" in seen(pilot)
        await tap(pilot, "shut, and put away")
        assert "Where are the wheels?" in seen(pilot)
        assert app(pilot).session.unready == "wheels"
        await press(pilot, "1")
        while page(pilot) == "Beware":
            await press(pilot, "enter")
        assert step(pilot).engine == "running"


async def test_the_page_can_be_left_and_nothing_was_answered(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        for _ in range(20):
            if page(pilot) == "Ready":
                break
            await go_on(pilot)
        await press(pilot, "escape")
        assert page(pilot) == "Home"
        assert app(pilot).session.unready == "igniter"
