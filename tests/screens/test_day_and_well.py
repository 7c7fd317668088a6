"""The day, the fuel and the well card, by keys and by taps."""

from __future__ import annotations

import pytest
from screens.hands import MEDIUM, NARROW, SIZES, Hand, Make, app, page, press, seen, tap, write
from screens.tuned import HOT, NAME, STRONG, ledger, tuned

from diagnose.pages.conditions import air_and_fuel
from diagnose.pages.parts import Line
from diagnose.tune.air import Air, station_pressure
from diagnose.tune.fuel import Blend
from diagnose.tune.mixture import Conditions

pytestmark = pytest.mark.slow

TALL = (100, 80)


def told(pilot: Hand) -> str:
    """Return the screen in one line."""
    return " ".join(seen(pilot).split())


async def fill(pilot: Hand, *texts: str) -> None:
    """Type into one field after another; an empty text goes on."""
    for text in texts:
        await write(pilot, text)
        await press(pilot, "enter")


async def test_a_phones_figures_are_taken_by_keyboard_alone(make: Make) -> None:
    async with make().run_test(size=TALL) as pilot:
        await press(pilot, "f4")
        await fill(pilot, "31C", "55 %", "1015hPa", "", "120m", "25", "12 %")
        await press(pilot, "1")
        noted = app(pilot).session.conditions(NAME)
        assert noted.air == Air(31, station_pressure(101_500, 120, 31), 0.55)
        assert noted.fuel == Blend(0.25, 0.12)
        assert "saved 08:00" in seen(pilot)
        assert all(part.text in told(pilot) for part in air_and_fuel(noted) if isinstance(part, Line))
        assert "There is no good tune to compare with" in told(pilot)


async def test_a_barometers_figures_are_taken_by_taps(make: Make) -> None:
    async with make().run_test(size=TALL) as pilot:
        await tap(pilot, "f4 day", "31C, or 88 F")
        await write(pilot, "88 F")
        await tap(pilot, "55 %")
        await write(pilot, "55")
        await tap(pilot, "1004hPa, 29.92inHg")
        await write(pilot, "29.92inHg")
        await tap(pilot, "what a barometer at the track shows", "this is the day")
        air = app(pilot).session.conditions(NAME).air
        assert air is not None
        assert (air.temperature, air.pressure) == (pytest.approx(31.1, abs=0.05), pytest.approx(101_320, abs=10))
        assert "A litre asks for" not in seen(pilot)


@pytest.mark.parametrize("size", SIZES)
async def test_each_figure_that_can_not_be_is_refused_beside_its_field(make: Make, size: tuple[int, int]) -> None:
    async with make().run_test(size=size) as pilot:
        await press(pilot, "f4")
        await fill(pilot, "31", "140", "1015hPa", "", "", "90", "20")
        await press(pilot, "1")
        assert "! '31' has no unit" in seen(pilot)
        assert pilot.app.focused is pilot.app.screen.query_one("#temperature")
        refused = [str(one.content) for one in pilot.app.screen.query(".refusal") if one.display]
        assert [text.split(":")[0].split(" of ")[0] for text in refused] == [
            "! '31' has no unit",
            "! A humidity",
            "! Nothing has been typed. Say it like 120 m or 400 ft.",
            "! 90%",
        ]
        assert app(pilot).session.conditions(NAME) == Conditions()


async def test_a_refusal_goes_away_once_the_figure_is_mended(make: Make) -> None:
    async with make().run_test(size=TALL) as pilot:
        await press(pilot, "f4")
        await fill(pilot, "31", "55", "850hPa", "", "120m")
        await press(pilot, "ctrl+s")
        assert "no sea-level pressure" in told(pilot)
        await fill(pilot, "31C", "", "1015 hPa")
        await press(pilot, "ctrl+s")
        assert not [one for one in pilot.app.screen.query(".refusal") if one.display]
        assert app(pilot).session.conditions(NAME).air is not None


async def test_an_empty_form_notes_nothing(make: Make) -> None:
    async with make().run_test(size=MEDIUM) as pilot:
        await press(pilot, "f4", "ctrl+s")
        assert "! Nothing has been typed." in seen(pilot)
        assert app(pilot).session.conditions(NAME) == Conditions()


async def test_what_was_noted_stands_in_the_form_and_is_kept_as_it_was(make: Make) -> None:
    async with tuned(make()).run_test(size=TALL) as pilot:
        await press(pilot, "f4")
        assert "✓ what a barometer at the track shows" in seen(pilot)
        await press(pilot, "ctrl+s")
        assert app(pilot).session.conditions(NAME) == Conditions(HOT, STRONG)


async def test_the_day_says_what_it_asks_for_by_cause_and_what_is_left_unexplained(make: Make) -> None:
    async with tuned(make()).run_test(size=TALL) as pilot:
        await press(pilot, "f4")
        for said in (
            "Air, by suction: 3.3 % less fuel, 1 to 1.2 hours leaner.",
            "Air, pressurised by the exhaust: 1.3 % less fuel, 0.4 to 0.5 hours leaner.",
            "Fuel, however the tank is fed: 5.3 to 12.7 % more fuel, 1.6 to 4.6 hours richer.",
            "The high needle stands half an hour leaner than at the last good tune.",
            "Left unexplained: half an hour.",
            "High needle, 5 hours: richer, by the larger estimate, before you start it.",
            "Going back, on the page of the needles, does this step by step.",
            "How much of the oil burns is not known",
        ):
            assert said in told(pilot)


async def test_without_an_engine_the_day_stands_alone(make: Make) -> None:
    async with make(engine=None).run_test(size=TALL) as pilot:
        await press(pilot, "f4")
        assert "No engine is chosen" in seen(pilot)
        await fill(pilot, "20C", "50", "1013 hPa", "", "0 m")
        await press(pilot, "ctrl+s")
        assert "Density: 1.199 kg/m³." in seen(pilot)


async def test_a_well_card_is_noted_by_keyboard_alone(make: Make) -> None:
    async with tuned(make()).run_test(size=MEDIUM) as pilot:
        await press(pilot, "f3", "w")
        assert "! Warning: hot metal" in seen(pilot)
        await press(pilot, "enter")
        await fill(pilot, "0,9 mm")
        await press(pilot, "1")
        await fill(pilot, "20", "3 s", "221F", "8:30")
        assert "Tank run: 8 min 30 s." in seen(pilot)
        await press(pilot, "1")
        card = app(pilot).session.card(NAME)
        assert card is not None
        assert (card.idle_gap, card.idle_hold, card.pinch, card.tank_run, card.squeeze) == (0.9, 20, 3, 510, "firm")
        assert (card.conditions.air, card.conditions.fuel) == (HOT, STRONG)
        assert card.conditions.head == pytest.approx(105, abs=0.01)
        assert card.settings == ledger(app(pilot)).now
        assert page(pilot) == "Needles"


@pytest.mark.parametrize("size", SIZES)
async def test_every_question_of_the_card_can_be_skipped_by_taps(make: Make, size: tuple[int, int]) -> None:
    async with make().run_test(size=size) as pilot:
        await tap(pilot, "f3 needles", "w card" if size == NARROW else "w well card", "I have read this")
        for _ in range(6):
            await press(pilot)  # the keys along the foot change with what has the focus
            await tap(pilot, "skip this question")
        assert "Everything was skipped." in seen(pilot)
        await tap(pilot, "yes, keep this card")
        card = app(pilot).session.card(NAME)
        assert card is not None
        assert card.squeeze is None
        assert not any(card.value(measure) for measure in ("idle gap", "pinch", "idle hold", "head", "tank run"))


async def test_every_question_of_the_card_can_be_skipped_by_keys(make: Make) -> None:
    async with make().run_test(size=NARROW) as pilot:
        await press(pilot, "f3", "w", "enter", "down", "enter", "0", *["down", "enter"] * 4)
        assert "Everything was skipped." in seen(pilot)


async def test_a_reading_that_can_not_be_is_refused_and_asked_for_again(make: Make) -> None:
    async with make().run_test(size=MEDIUM) as pilot:
        await press(pilot, "f3", "w", "enter")
        await fill(pilot, "99 mm")
        assert "a reading lies between 0 and 10 mm" in seen(pilot)
        await fill(pilot, "")
        assert "question 1 of 6" in seen(pilot)
        await press(pilot, *["backspace"] * 5)
        await fill(pilot, "1")
        assert "question 2 of 6" in seen(pilot)


async def test_back_goes_back_one_question_and_loses_no_answer(make: Make) -> None:
    async with make().run_test(size=MEDIUM) as pilot:
        await press(pilot, "f3", "w", "enter")
        await fill(pilot, "1")
        await press(pilot, "2", "escape")
        assert "How does the squeeze feel?" in seen(pilot)
        await press(pilot, "3")
        await fill(pilot, "20", "3", "105C", "8:30")
        assert "Idle gap: 1 mm." in seen(pilot)
        assert "Squeeze: soft." in seen(pilot)
        await press(pilot, *["escape"] * 7)
        assert "Before you begin" in seen(pilot)
        await press(pilot, "escape")
        assert page(pilot) == "Needles"
        assert app(pilot).session.card(NAME) is None


async def test_doubtful_readings_are_said_before_the_card_is_kept(make: Make) -> None:
    async with make().run_test(size=MEDIUM) as pilot:
        await press(pilot, "f3", "w", "enter")
        await fill(pilot, "3")
        await press(pilot, "0", *["down", "enter"] * 4)
        assert "! Idle gap: A gap of 0.3 to 2 mm is usual." in seen(pilot)
        await press(pilot, "2")
        assert "question 1 of 6" in seen(pilot)


async def test_the_card_that_there_is_comes_first(make: Make) -> None:
    async with make().run_test(size=MEDIUM) as pilot:
        await press(pilot, "f3", "w", "enter")
        await fill(pilot, "1")
        await press(pilot, "1", *["down", "enter"] * 4, "1", "w")
        assert "noted 2027-01-15" in seen(pilot)
        assert "Idle gap: 1 mm." in seen(pilot)
        await press(pilot, "1")
        assert "! Warning: hot metal" in seen(pilot)
