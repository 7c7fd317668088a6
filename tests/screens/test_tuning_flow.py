"""The tune bench by keys and by taps: recording, marking good, going back."""

from __future__ import annotations

import pytest
from screens.hands import MEDIUM, SIZES, WIDE, Make, app, page, press, seen, tap, write
from screens.tuned import HOT, NAME, STRONG, last, ledger, tuned

from diagnose.graph.model import Variant
from diagnose.record.engines import Engine
from diagnose.tune.needles import Baseline, Corrected, Good, Turned, WentBack, caliper, closed, flush

pytestmark = pytest.mark.slow


async def test_a_baseline_is_recorded_by_keyboard_alone(make: Make) -> None:
    async with make().run_test(size=(80, 40)) as pilot:
        await press(pilot, "f3")
        assert "No setting is recorded yet." in seen(pilot)
        await press(pilot, "r", "enter", "enter")
        await write(pilot, "14")
        await press(pilot, "enter", "enter")
        await write(pilot, "3t 2h")
        await press(pilot, "enter", "enter", "enter")
        await write(pilot, "count of today")
        await press(pilot, "ctrl+s")
        entry = last(app(pilot))
        assert isinstance(entry, Baseline)
        assert entry.settings == {"low needle": closed(14), "high needle": closed(38)}
        assert (entry.reason, entry.air_screw) == ("count of today", False)
        assert page(pilot) == "Needles"
        assert "baseline: low needle 14 hours, high needle 38 hours" in " ".join(seen(pilot).split())


async def test_a_low_screw_that_lets_in_air_is_recorded_with_the_baseline(make: Make) -> None:
    async with make().run_test(size=(80, 40)) as pilot:
        await press(pilot, "f3", "r")
        assert "What does the low screw let in?" in seen(pilot)
        await tap(pilot, "air: richer as it goes in", "low needle")
        pilot.app.screen.query_one("#low-needle").focus()
        await press(pilot, "9", "ctrl+s")
        assert ledger(app(pilot)).air_screw
        await press(pilot, "r")
        assert "What does the low screw let in?" not in seen(pilot)


async def test_a_count_of_now_is_a_correction_and_no_turn(make: Make) -> None:
    async with tuned(make()).run_test(size=MEDIUM) as pilot:
        await press(pilot, "f3", "r", "enter", "down", "enter")
        await write(pilot, "2 below")
        await press(pilot, "ctrl+s")
        entry = last(app(pilot))
        assert isinstance(entry, Corrected)
        assert entry.settings == {"low needle": flush(2, sunk=True)}


async def test_a_caliper_asks_for_the_thread(make: Make) -> None:
    async with tuned(make()).run_test(size=(80, 40)) as pilot:
        await press(pilot, "f3", "r", "enter")
        assert "thread, mm a turn" not in seen(pilot)
        await press(pilot, "down", "down", "enter", "ctrl+s")
        assert "Nothing has been typed." in seen(pilot)
        await write(pilot, "0,5")
        await press(pilot, "enter", "enter")
        await write(pilot, "1.25")
        await press(pilot, "ctrl+s")
        assert last(app(pilot)).settings == {"mid needle": caliper(1.25, 0.5)}


@pytest.mark.parametrize("size", SIZES)
async def test_what_no_screw_can_stand_at_is_refused_beside_its_field(make: Make, size: tuple[int, int]) -> None:
    async with tuned(make()).run_test(size=size) as pilot:
        before = ledger(app(pilot)).entries
        await press(pilot, "f3", "r", "enter", "enter", "enter")
        await write(pilot, "99")
        await press(pilot, "ctrl+s")
        assert "! a screw stands 0 to 72 hours" in " ".join(seen(pilot).split())
        assert pilot.app.focused is pilot.app.screen.query_one("#mid-needle")
        await press(pilot, "escape")
        assert ledger(app(pilot)).entries == before


async def test_an_empty_form_is_not_recorded(make: Make) -> None:
    async with tuned(make()).run_test(size=MEDIUM) as pilot:
        before = ledger(app(pilot)).entries
        await press(pilot, "f3", "r", "ctrl+s")
        assert "Nothing has been typed." in seen(pilot)
        assert ledger(app(pilot)).entries == before


async def test_an_engine_with_two_needles_has_no_mid_on_any_form(make: Make) -> None:
    made = make()
    made.session.add_engine(Engine("red buggy", Variant(needles=2)))
    async with tuned(made, "red buggy").run_test(size=(120, 60)) as pilot:
        await press(pilot, "f3")
        for key in ("r", "t", "g", "b"):
            assert "id needle" not in seen(pilot)
            await press(pilot, key)
            assert "id needle" not in seen(pilot)
            await press(pilot, "escape")


async def test_a_turn_by_hand_is_recorded_with_its_reason_and_result(make: Make) -> None:
    async with tuned(make()).run_test(size=(80, 50)) as pilot:
        await press(pilot, "f3", "t", "down", "down", "enter", "down", "enter", "up", "enter", "down", "down", "enter")
        await write(pilot, "smoke")
        await press(pilot, "enter", "1")
        entry = last(app(pilot))
        assert isinstance(entry, Turned)
        assert (entry.screw, entry.way, entry.hours) == ("high needle", "leaner", 0.5)
        assert (entry.reason, entry.result) == ("smoke", "better")
        assert ledger(app(pilot)).now["high needle"] == closed(35)


async def test_the_idle_stop_goes_in_and_out(make: Make) -> None:
    async with tuned(make()).run_test(size=(80, 50)) as pilot:
        await press(pilot, "f3", "t")
        assert "✓ richer" in seen(pilot)
        await tap(pilot, "idle stop")
        assert "✓ in" in seen(pilot)
        await tap(pilot, "  out", "write this down")
        entry = last(app(pilot))
        assert isinstance(entry, Turned)
        assert (entry.screw, entry.way, entry.hours) == ("idle stop", "out", 1)


@pytest.mark.parametrize("size", SIZES)
async def test_a_tune_is_marked_good_by_taps_alone(make: Make, size: tuple[int, int]) -> None:
    async with tuned(make()).run_test(size=size) as pilot:
        await tap(pilot, "f3 needles", "g mark it good" if size == WIDE else "g good", "yes, keep it")
        entry = last(app(pilot))
        assert isinstance(entry, Good)
        assert (entry.conditions.air, entry.conditions.fuel, entry.plug) == (HOT, STRONG, "medium")
        assert page(pilot) == "Needles"


async def test_the_day_can_be_written_down_before_a_tune_is_marked_good(make: Make) -> None:
    async with make().run_test(size=(80, 40)) as pilot:
        app(pilot).session.write(NAME, Baseline(app(pilot).session.clock(), {"high needle": closed(38)}))
        await press(pilot, "f3", "g")
        assert "The day or the fuel is not known." in seen(pilot)
        await press(pilot, "2")
        assert page(pilot) == "DayPage"
        for text in ("31C", "55", "1015 hPa"):
            await write(pilot, text)
            await press(pilot, "enter")
        await press(pilot, "enter", *"120m", "enter", *"25", "enter", *"12", "enter", "1", "escape")
        assert page(pilot) == "GoodTune"
        assert "31 °C (88 °F), 55 %, 1001 hPa, 25 % nitro, 12 % oil" in seen(pilot)
        assert "not known" not in seen(pilot)


@pytest.mark.parametrize("size", SIZES)
async def test_going_back_by_taps_sets_the_corrected_targets(make: Make, size: tuple[int, int]) -> None:
    async with tuned(make()).run_test(size=size) as pilot:
        found = app(pilot).session.going_back(NAME)
        assert found is not None
        await tap(pilot, "f3 needles", "b go back")
        assert found.because in " ".join(seen(pilot).split())
        assert "Engine off" in seen(pilot)
        await tap(pilot, "done: they are set so")
        entry = last(app(pilot))
        assert isinstance(entry, WentBack)
        assert entry.settings == {target.screw: target.depth for target in found.targets}
        assert entry.reason == found.because
        stands = ledger(app(pilot)).now["high needle"].hours
        assert stands > 36, "never leaner than the record, and richer for the stronger fuel"


async def test_going_back_can_be_left_alone(make: Make) -> None:
    async with tuned(make()).run_test(size=MEDIUM) as pilot:
        before = ledger(app(pilot)).entries
        await press(pilot, "f3", "b", "3")
        assert page(pilot) == "Needles"
        assert ledger(app(pilot)).entries == before


async def test_the_faces_show_the_record_beside_where_the_slot_must_point(make: Make) -> None:
    async with tuned(make()).run_test(size=(120, 60)) as pilot:
        await press(pilot, "f3", "b")
        assert "(8)" in seen(pilot)  # 16 hours: one turn and four hours out
        assert "r10" in seen(pilot)  # 14 hours: one turn and two


async def test_without_a_record_there_is_nothing_to_go_back_to(make: Make) -> None:
    async with make().run_test(size=MEDIUM) as pilot:
        await press(pilot, "f3", "b", "g", "t", "s")
        assert page(pilot) == "Needles"
        assert "b go back" not in seen(pilot)


async def test_more_of_a_long_ledger_is_shown_by_one_key(make: Make) -> None:
    made = tuned(make())
    for number in range(60):
        way = "richer" if number % 2 else "leaner"
        made.session.write(NAME, Turned(made.session.clock() + number, "high needle", way, 1))
    async with made.run_test(size=(120, 120)) as pilot:
        await press(pilot, "f3")
        total = len(ledger(app(pilot)).entries)
        assert f"and {total - 30} older" in seen(pilot)
        await tap(pilot, "m more of the ledger")
        assert f"and {total - 60} older" in seen(pilot)
        await press(pilot, "m")
        assert "older" not in seen(pilot)
        assert "m more" not in seen(pilot)


async def test_the_marked_engine_of_the_list_is_the_one_that_opens(make: Make) -> None:
    made = make()
    made.session.add_engine(Engine("red buggy"))
    async with made.run_test(size=MEDIUM) as pilot:
        await press(pilot, "f2", "h")
        assert "Needles: blue truggy" in seen(pilot)
        await press(pilot, "escape", "down", "h")
        assert "Needles: red buggy" in seen(pilot)
        await press(pilot, "escape", "d")
        assert page(pilot) == "DayPage"
        await press(pilot, "escape", "down", "h", "d")
        assert page(pilot) == "Engines"


async def test_enter_chooses_the_first_engine_of_the_list_at_once(make: Make) -> None:
    made = make(engine=None)
    for name in ("blue truggy", "red buggy"):
        made.session.add_engine(Engine(name))
    async with made.run_test(size=MEDIUM) as pilot:
        await press(pilot, "f2")
        assert page(pilot) == "Engines"
        await press(pilot, "enter")
        assert page(pilot) == "Home"
        assert "engine: blue truggy" in seen(pilot)


async def test_without_an_engine_one_is_asked_for_first(make: Make) -> None:
    async with make(engine=None).run_test(size=MEDIUM) as pilot:
        await press(pilot, "f3")
        assert page(pilot) == "EngineForm"
        await write(pilot, "red buggy")
        await press(pilot, "ctrl+s")
        assert "Needles: red buggy" in seen(pilot)
        await press(pilot, "escape")
        assert "engine: red buggy" in seen(pilot)


async def test_the_walk_and_the_bench_of_tune_share_one_ledger(make: Make) -> None:
    made = tuned(make())
    async with made.run_test(size=WIDE) as pilot:
        started = app(pilot).session.starting("revs-hang", app(pilot).session.engine(NAME))
        assert started.recorded
        assert started.turned == {"low needle": -1, "high needle": -0.5}


async def test_the_screen_goes_back_to_an_earlier_tune_and_to_the_baseline(make: Make) -> None:
    async with tuned(make()).run_test(size=WIDE) as pilot:
        ledger_ = ledger(app(pilot))
        await press(pilot, "f3", "b", "4")
        assert "To which tune?" in seen(pilot)
        assert "baseline: " in seen(pilot)
        await press(pilot, "escape")
        assert "To which tune?" not in seen(pilot)
        assert ledger_.baseline is not None
        await press(pilot, "4", str(len(ledger_.kept)), "1")
        entry = last(app(pilot))
        assert isinstance(entry, WentBack)
        assert set(entry.settings) == set(ledger_.baseline.settings)
        assert entry.settings["high needle"].hours >= ledger_.baseline.settings["high needle"].hours
