"""The needles and the day, opened from the bench: they come back to the same step, and the walk stays as it is."""

from __future__ import annotations

from screens.hands import MEDIUM, NARROW, WIDE, Make, app, begun, page, press, seen, step, walk, write
from screens.test_day_and_well import fill
from screens.tuned import ledger

from diagnose.record.engines import Engine
from diagnose.screens.needles import Needles


async def test_a_setting_recorded_from_the_bench_leaves_the_walk_alone(make: Make) -> None:
    async with make("revs-hang").run_test() as pilot:
        await begun(pilot)
        await press(pilot, "1", "s")
        events, at = walk(pilot).events, step(pilot)
        await press(pilot, "h")
        assert isinstance(pilot.app.screen, Needles)
        assert pilot.app.screen.engine.name == "blue truggy"
        await press(pilot, "r")
        assert page(pilot) == "SettingForm"
        pilot.app.screen.query_one("#high-needle").focus()
        await write(pilot, "30")
        await press(pilot, "ctrl+s")
        assert page(pilot) == "Needles"
        assert len(ledger(app(pilot)).entries) == 1
        await press(pilot, "escape")
        assert step(pilot) == at
        assert walk(pilot).events == events
        assert "[✓] not quite sure" in seen(pilot)  # what was ticked before is still ticked
        await press(pilot, "1")
        assert len(walk(pilot).events) == len(events) + 1


async def test_a_day_noted_from_the_bench_leaves_the_walk_alone(make: Make) -> None:
    async with make("revs-hang").run_test() as pilot:
        await begun(pilot)
        events, at = walk(pilot).events, step(pilot)
        await press(pilot, "d")
        await fill(pilot, "31C", "55 %", "1015hPa", "", "120m", "25", "12 %")
        await press(pilot, "ctrl+s", "escape")
        assert app(pilot).session.conditions("blue truggy").air is not None
        assert step(pilot) == at
        assert walk(pilot).events == events


async def test_a_check_that_was_chosen_out_of_turn_is_still_the_one_asked(make: Make) -> None:
    async with make("revs-hang").run_test() as pilot:
        await begun(pilot)
        await press(pilot, "a", "down", "enter")
        chosen = step(pilot)
        await press(pilot, "h", "escape", "d", "escape")
        assert step(pilot) == chosen


async def test_it_is_the_engine_of_the_walk_whatever_is_in_hand_at_home(make: Make) -> None:
    opened = make()
    red = opened.session.add_engine(Engine("red"))
    opened.session.start("revs-hang", red)
    opened.at.engine = opened.session.engine("blue truggy")
    async with opened.run_test() as pilot:
        await press(pilot, "enter")
        await begun(pilot)
        await press(pilot, "h")
        assert isinstance(pilot.app.screen, Needles)
        assert pilot.app.screen.engine == red


async def test_an_engine_without_a_record_has_no_needles_to_open(make: Make) -> None:
    opened = make()
    opened.session.start("revs-hang")
    async with opened.run_test() as pilot:
        await press(pilot, "enter")
        await begun(pilot)
        assert "needles  d day" not in seen(pilot)
        await press(pilot, "h")
        assert page(pilot) == "Bench"
        await press(pilot, "d")
        assert page(pilot) == "DayPage"


async def test_the_foot_names_them_where_there_is_room_and_else_on_one_key(make: Make) -> None:
    named = {}
    for size in (WIDE, MEDIUM, NARROW):
        async with make("revs-hang").run_test(size=size) as pilot:
            await begun(pilot)
            named[size] = "h needles" in seen(pilot) and "d day" in seen(pilot)
            assert "! something is wrong" in seen(pilot)
            if not named[size]:
                assert "+ more" in seen(pilot)
                await press(pilot, "plus")
                named_all = ("h needles", "d day", "i what if", "t time", "a others", "r list", "? words", "q leave")
                for one in (*named_all, "+ fewer"):
                    assert one in seen(pilot), one
            await press(pilot, "h")
            assert page(pilot) == "Needles"  # the key works all the same
    assert named == {WIDE: True, MEDIUM: True, NARROW: False}


async def test_on_a_small_screen_the_step_has_ten_lines_above_its_answers(make: Make) -> None:
    async with make("revs-hang").run_test(size=NARROW) as pilot:
        await begun(pilot)
        shown = seen(pilot).split("\n")
        first = next(number for number, line in enumerate(shown) if line.strip().startswith("1  "))
        assert first - 3 >= 9, seen(pilot)  # without the heading, the question and what to beware of
        assert len(shown) - next(n for n, line in enumerate(shown) if "! something is wrong" in line) == 2
