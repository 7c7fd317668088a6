"""Wherever a screen asks for a number, it is typed as people write it."""

from __future__ import annotations

import pytest
from screens.hands import MEDIUM, Hand, Make, app, begun, page, press, seen, step, tap, toast, until, walk, write
from screens.tuned import last, tuned

from diagnose.graph.model import Knowledge
from diagnose.reason import events as ev
from diagnose.tune.needles import Baseline
from diagnose.workshop.session import reading_unit

pytestmark = pytest.mark.slow

TURNS = ["39", "3t 3h", "3 1/4", "3¼", "3.25 turns", "3,25 t", "39 h"]


async def typed(pilot: Hand, field: str, text: str) -> None:
    """Type into a field of a form, in the place of what stands there."""
    pilot.app.screen.query_one(f"#{field}").focus()
    pilot.app.screen.query_one(f"#{field}").value = ""  # type: ignore[attr-defined]
    for sign in text:
        await pilot.press("space" if sign == " " else "slash" if sign == "/" else sign)


@pytest.mark.parametrize("text", TURNS)
async def test_a_new_engine_takes_a_screw_in_turns(make: Make, text: str) -> None:
    async with make().run_test(size=MEDIUM) as pilot:
        await press(pilot, "f2", "n")
        await write(pilot, "red")
        await typed(pilot, "high-needle", text)
        await press(pilot, "ctrl+s")
        assert app(pilot).session.engine("red").settings == {"high needle": 39}


@pytest.mark.parametrize("text", TURNS)
async def test_a_setting_is_written_down_in_turns(make: Make, text: str) -> None:
    async with make().run_test(size=MEDIUM) as pilot:
        await press(pilot, "f3", "r")
        await typed(pilot, "high-needle", text)
        await press(pilot, "ctrl+s")
        entry = last(app(pilot))
        assert isinstance(entry, Baseline)
        assert entry.settings["high needle"].hours == 39


async def test_three_and_a_half_of_a_screw_may_be_turns_or_hours_and_is_asked_again(make: Make) -> None:
    async with tuned(make()).run_test(size=(120, 36)) as pilot:
        await press(pilot, "f3", "r")
        await typed(pilot, "high-needle", "3 1/2")
        await press(pilot, "ctrl+s")
        assert "can be turns or hours. Say it like 3 1/2 t, or 3 1/2 h." in " ".join(seen(pilot).split())


@pytest.mark.parametrize(("text", "value"), [("1 mm", 1), ("0,7mm", 0.7), ("3/4", 0.75), ("1", 1)])
async def test_a_gap_is_typed_on_the_bench_with_or_without_its_unit(
    make: Make, shipped: Knowledge, text: str, value: float
) -> None:
    async with make("idles-too-high", knowledge=shipped).run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        while page(pilot) != "Bench":
            await press(pilot, "enter" if page(pilot) == "Beware" else "n")
        await press(pilot, "a", "slash", *"idle", "space", *"gap", "enter", "enter")
        while page(pilot) == "Beware":
            await press(pilot, "enter")
        await typed(pilot, "number", text)
        await press(pilot, "enter")
        assert [event.value for event in walk(pilot).events if isinstance(event, ev.Measured)] == [value]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("220", "'220' has no unit: it can be °C or °F."),
        ("230C", "it lies between -40 °C (-40 °F) and 200 °C (392 °F)."),
        ("3 mm", "Say it like 104, 104 C or 220 F."),
    ],
)
async def test_a_head_that_can_not_be_is_refused_and_stays_to_be_mended(make: Make, text: str, said: str) -> None:
    async with make("revs-hang").run_test(size=(120, 36), notifications=True) as pilot:
        await begun(pilot)
        await until(pilot, "prepare")
        assert reading_unit(step(pilot)) == "°C"
        await typed(pilot, "number", text)
        await press(pilot, "enter")
        assert said in toast(pilot)
        assert walk(pilot).state.heat is None
        assert pilot.app.screen.query_one("#number").value == text  # type: ignore[attr-defined]


async def test_the_minutes_to_go_take_their_unit_and_are_refused_with_the_range(make: Make) -> None:
    async with make("revs-hang").run_test(size=(120, 36), notifications=True) as pilot:
        await begun(pilot)
        await press(pilot, "t")
        await typed(pilot, "number", "soon")
        await press(pilot, "enter")
        assert "Say it like 8, 8 min or 7:30." in toast(pilot)
        await typed(pilot, "number", "7:30")
        await press(pilot, "enter")
        assert "7½ min to go." in seen(pilot)


async def test_the_well_card_takes_a_bare_head_in_the_unit_that_it_asks_for(make: Make) -> None:
    async with make().run_test(size=MEDIUM) as pilot:
        await press(pilot, "f3", "w", "enter", *["down", "enter"], "0", *["down", "enter"] * 2)
        assert "in °C:" in seen(pilot)
        await typed(pilot, "number", "105")
        await press(pilot, "enter", "down", "enter")
        assert "105 °C" in seen(pilot)
        await tap(pilot, "yes, keep this card")
