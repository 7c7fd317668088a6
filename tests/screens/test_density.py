"""One key swaps the line of a step and its recipe, and the choice is kept."""

from __future__ import annotations

import pytest
from screens.hands import SIZES, Make, press, seen, step

from diagnose.graph.model import Knowledge
from diagnose.pages.completion import in_a_line

pytestmark = pytest.mark.slow


@pytest.mark.parametrize("size", SIZES)
async def test_r_swaps_line_and_recipe_and_the_next_start_keeps_it(
    make: Make, shipped: Knowledge, size: tuple[int, int]
) -> None:
    async with make("bogs-off-the-line", knowledge=shipped).run_test(size=size) as pilot:
        await press(pilot, "enter", "n", "1")
        line, recipe = in_a_line(step(pilot).title, step(pilot).wanted), step(pilot).how[0]
        assert recipe.split()[0] in seen(pilot)
        assert line not in " ".join(seen(pilot).split())
        await press(pilot, "v")
        assert line in " ".join(seen(pilot).split())
        await press(pilot, "q")
    async with make("bogs-off-the-line", knowledge=shipped).run_test(size=size) as pilot:
        await press(pilot, "enter", "n", "1")
        assert line in " ".join(seen(pilot).split())
        await press(pilot, "v")
        assert line not in " ".join(seen(pilot).split())
