"""What is behind an infrared reading, by keys and by taps."""

from __future__ import annotations

from screens.hands import Make, page, press, seen, tap, write
from screens.tuned import tuned

from diagnose.tune.heat import limits

TALL = (100, 40)


async def test_a_painted_spot_reads_nearly_true(make: Make) -> None:
    async with tuned(make()).run_test(size=TALL) as pilot:
        await press(pilot, "h", "i")
        await write(pilot, "221F")
        await press(pilot, "ctrl+s")
        told = " ".join(seen(pilot).split())
        assert "Paint reads nearly true." in told
        assert all(line in told for line in limits("painted", 105, around=31))


async def test_another_surface_is_said_at_once_by_a_tap(make: Make) -> None:
    async with make().run_test(size=TALL) as pilot:
        await press(pilot, "h", "i")
        await write(pilot, "60C")
        await tap(pilot, "show what is behind it", "smooth bare metal")
        told = " ".join(seen(pilot).split())
        assert all(line in told for line in limits("bare", 60))
        assert "Do not touch it." in told


async def test_a_reading_that_no_head_has_is_refused_beside_its_field(make: Make) -> None:
    async with make().run_test(size=TALL) as pilot:
        await press(pilot, "h", "i")
        await write(pilot, "230")
        await press(pilot, "ctrl+s")
        assert "! '230' has no unit" in seen(pilot)
        await write(pilot, "C")
        await press(pilot, "ctrl+s")
        assert "! No head reads 230 °C:" in seen(pilot)
        await press(pilot, *["backspace"] * 4)
        await write(pilot, "230F")
        await press(pilot, "enter")
        await write(pilot, "80C")
        await press(pilot, "ctrl+s")
        assert "! No air at a track has 80 °C:" in seen(pilot)
        await press(pilot, "escape")
        assert page(pilot) == "Needles"
