"""A reading on the bench is told beside the engine's well card, before it is typed and in the trail."""

from __future__ import annotations

import pytest
from screens.hands import MEDIUM, NARROW, WIDE, Make, begun, page, press, seen, walk, write

from diagnose.graph.model import Knowledge
from diagnose.tune.well import Card


@pytest.mark.parametrize("size", [WIDE, MEDIUM, NARROW])
async def test_a_reading_is_told_beside_the_well_card(make: Make, shipped: Knowledge, size: tuple[int, int]) -> None:
    main = make("idles-too-high", knowledge=shipped)
    main.session.write_card("blue truggy", Card(main.session.clock(), idle_gap=1.5))
    async with main.run_test(size=size) as pilot:
        await begun(pilot)
        while page(pilot) != "Bench":
            await press(pilot, "enter" if page(pilot) == "Beware" else "n")
        await press(pilot, "a", "slash")
        await write(pilot, "idle gap")
        await press(pilot, "enter", "enter")
        while page(pilot) == "Beware":
            await press(pilot, "enter")
        await press(pilot, "n")
        await write(pilot, "1.7")
        if size == WIDE:
            assert "1.5 mm when it ran well." in seen(pilot)
        await press(pilot, "enter")
        while page(pilot) == "Beware":
            await press(pilot, "enter")
        (line,) = walk(pilot).view(0).trail
        assert line.what == "idle gap (1.5 mm when it ran well, 1.7 now)"
        if size == WIDE:
            assert "✓ idle gap (1.5" in seen(pilot)
