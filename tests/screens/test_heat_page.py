"""What is behind an infrared reading, by keys and by taps."""

from __future__ import annotations

from screens.hands import Make, page, press, seen, tap, write
from screens.tuned import NAME, tuned

from diagnose.tune.heat import limits
from diagnose.tune.mixture import Conditions
from diagnose.tune.needles import Good

TALL = (100, 40)


async def test_a_painted_spot_reads_nearly_true(make: Make) -> None:
    async with tuned(make()).run_test(size=TALL) as pilot:
        await press(pilot, "f3", "i")
        await write(pilot, "221F")
        await press(pilot, "ctrl+s")
        told = " ".join(seen(pilot).split())
        assert "Paint reads nearly true." in told
        assert all(line in told for line in limits("painted", 105, around=31))


async def test_another_surface_is_said_at_once_by_a_tap(make: Make) -> None:
    async with make().run_test(size=TALL) as pilot:
        await press(pilot, "f3", "i")
        await write(pilot, "60C")
        await tap(pilot, "show what is behind it", "smooth bare metal")
        told = " ".join(seen(pilot).split())
        assert all(line in told for line in limits("bare", 60))
        assert "Do not touch it." in told


async def test_a_reading_that_no_head_has_is_refused_beside_its_field(make: Make) -> None:
    async with make().run_test(size=TALL) as pilot:
        await press(pilot, "f3", "i")
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


async def test_an_engine_takes_over_the_window_of_its_own_heads_and_gives_it_back(make: Make) -> None:
    app = tuned(make())
    for head in (100.0, 104.0, 108.0):
        app.session.write(NAME, Good(app.session.clock(), Conditions(head=head)))
    async with app.run_test(size=TALL) as pilot:
        await press(pilot, "f3")
        line = " ".join(seen(pilot).split())
        assert "Its own heads at good tunes: 100 °C (212 °F) to 108 °C (226 °F). Window: 82 °C (180 °F) to" in line
        await press(pilot, "o")
        told = " ".join(seen(pilot).split())
        assert "Its own heads at 3 good tunes: 100 °C (212 °F) to 108 °C (226 °F)." in told
        await tap(pilot, "take over its own")
        assert page(pilot) == "Needles"
        assert "Window: 95 °C (203 °F) to 113 °C (235 °F)." in " ".join(seen(pilot).split())
        await press(pilot, "o")
        await tap(pilot, "the general one")
        assert "Window: 82 °C (180 °F) to 104 °C (220 °F)." in " ".join(seen(pilot).split())


async def test_too_few_heads_say_what_is_missing_for_a_window(make: Make) -> None:
    async with tuned(make()).run_test(size=TALL) as pilot:
        await press(pilot, "f3", "o")
        told = " ".join(seen(pilot).split())
        assert "it takes three." in told
        assert "take over" not in told
        await press(pilot, "escape")
        assert page(pilot) == "Needles"
