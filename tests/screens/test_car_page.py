"""A car's page on the screens: where it is opened, and what each of its keys does."""

from __future__ import annotations

import pytest
from screens.hands import MEDIUM, SIZES, Clock, Hand, Make, app, begun, page, press, seen, tap, walk, write
from screens.tuned import NAME, last, ledger, tuned

from diagnose.reason import events as ev
from diagnose.record.engines import Engine
from diagnose.record.notes import notes
from diagnose.screens.car import CarPage
from diagnose.tune.needles import WentBack, closed
from diagnose.workshop.car import KnownCar


async def opened(pilot: Hand) -> None:
    """Come to the page from home."""
    await press(pilot, "end")
    if "look back" in seen(pilot):
        await press(pilot, "up")
    await press(pilot, "enter")
    assert page(pilot) == "CarPage", seen(pilot)


def shown(pilot: Hand) -> KnownCar:
    """Return what the page shows, as it was read last."""
    assert isinstance(pilot.app.screen, CarPage), page(pilot)
    assert pilot.app.screen.car is not None
    return pilot.app.screen.car


def text(pilot: Hand) -> str:
    return " ".join(str(pilot.app.screen.query_one("#told").render()).split())


async def left(pilot: Hand) -> None:
    """Leave an open walk after its first look."""
    await begun(pilot)
    await press(pilot, "1", "escape")
    assert page(pilot) == "Home"


@pytest.mark.parametrize("size", SIZES)
async def test_home_the_engines_the_cars_the_needles_and_a_walk_all_open_it(make: Make, size: tuple[int, int]) -> None:
    async with make("revs-hang").run_test(size=size) as pilot:
        await begun(pilot)
        for way in (("e",), ("h", "e"), ("k", "e")):
            await press(pilot, *way)
            assert page(pilot) == "CarPage"
            await press(pilot, *["escape"] * len(way))
            assert page(pilot) == "Bench"
        await press(pilot, "escape", "f2", "e")
        assert page(pilot) == "CarPage"
        await press(pilot, "escape", "escape")
        await tap(pilot, "its page")
        assert page(pilot) == "CarPage"
        assert NAME in seen(pilot)


async def test_the_list_of_cars_opens_the_page_of_the_marked_one(make: Make) -> None:
    async with make().run_test(size=MEDIUM) as pilot:
        app(pilot).session.add_engine(Engine("red buggy"))
        await press(pilot, "f10", "down", "down", "e")
        assert shown(pilot).engine.name == "red buggy"


async def test_it_names_settings_tunes_notes_and_keys_for_what_there_is(make: Make) -> None:
    async with tuned(make()).run_test(size=MEDIUM) as pilot:
        await opened(pilot)
        told = text(pilot)
        assert "High needle: 35.5 hours (2 turns and 11.5 hours);" in told
        assert "20 °C (68 °F), 50 %, 1013 hPa, 16 % nitro, 10 % oil, plug medium" in told
        assert "baseline" in told
        keys = set(pilot.app.screen.active_bindings)
        assert {"b", "n", "u", "g", "r", "h"} <= keys
        for key in ("o", "t"):  # no walk is open
            await press(pilot, key)
            assert page(pilot) == "CarPage"


@pytest.mark.parametrize("size", SIZES)
async def test_a_digit_goes_back_to_that_tune(make: Make, size: tuple[int, int]) -> None:
    async with tuned(make()).run_test(size=size) as pilot:
        await opened(pilot)
        assert len(shown(pilot).ledger.kept) == 3
        await press(pilot, "9")
        assert page(pilot) == "CarPage"
        await press(pilot, "3")
        assert page(pilot) == "GoBack"
        await press(pilot, "1")
        assert page(pilot) == "CarPage"
        entry = last(app(pilot))
        assert isinstance(entry, WentBack)
        assert entry.settings["low needle"].hours >= 14  # the baseline's, and what the day adds to the rich side
        assert ledger(app(pilot)).now["low needle"] == entry.settings["low needle"]


@pytest.mark.parametrize("size", SIZES)
async def test_a_note_is_typed_put_right_and_taken_back(make: Make, size: tuple[int, int]) -> None:
    async with make().run_test(size=size) as pilot:
        session = app(pilot).session
        await opened(pilot)
        await press(pilot, "n")
        await write(pilot, "q: a new bel")
        await press(pilot, "ctrl+s")
        assert page(pilot) == "CarPage"
        assert "q: a new bel" in text(pilot)
        await press(pilot, "u", "enter", "1")
        assert page(pilot) == "TypedLine"
        await press(pilot, "end")
        await write(pilot, "l")
        await press(pilot, "ctrl+s")
        assert [one.text for one in notes(session.journal, NAME)] == ["q: a new bell"]
        await press(pilot, "u", "enter", "2")
        assert [one.message for one in app(pilot)._notifications] == ["Taken back."]
        assert notes(session.journal, NAME) == []
        assert "Nothing was noted." in text(pilot)


async def test_an_empty_note_is_refused_and_what_is_typed_is_kept_when_it_is_left(make: Make) -> None:
    async with make().run_test(size=MEDIUM) as pilot:
        await opened(pilot)
        await press(pilot, "n", "ctrl+s")
        assert page(pilot) == "TypedLine"
        assert "the note is empty: say what you saw" in " ".join(seen(pilot).split())
        await write(pilot, "half")
        await press(pilot, "escape", "n")
        assert "half" in seen(pilot)


async def test_a_good_mark_is_taken_back_and_a_typo_is_put_right(make: Make) -> None:
    async with tuned(make()).run_test(size=MEDIUM) as pilot:
        await opened(pilot)
        await press(pilot, "u")
        await press(pilot, "down", "down", "enter")
        assert "marked good" in seen(pilot)
        good = ledger(app(pilot)).good
        await press(pilot, "2")
        assert ledger(app(pilot)).good == good[:-1]
        await press(pilot, "u", "end", "enter", "1", "ctrl+u", "ctrl+k")
        await write(pilot, "high needle 50")
        await press(pilot, "ctrl+s")
        baseline = ledger(app(pilot)).baseline
        assert baseline is not None
        assert baseline.settings == {"high needle": closed(50)}
        assert text(pilot).count("baseline:") == 1


async def test_what_is_no_setting_is_refused_with_the_reason_and_is_offered_again(make: Make) -> None:
    async with tuned(make()).run_test(size=MEDIUM) as pilot:
        await opened(pilot)
        before = ledger(app(pilot))
        await press(pilot, "u", "end", "enter", "1", "ctrl+u", "ctrl+k")
        await write(pilot, "hihg needle 3")
        await press(pilot, "ctrl+s")
        assert "there is no screw 'hihg needle 3'" in " ".join(seen(pilot).split())
        assert page(pilot) == "TypedLine"
        assert ledger(app(pilot)) == before


@pytest.mark.parametrize("size", SIZES)
async def test_an_open_walk_is_opened_by_its_key(make: Make, size: tuple[int, int]) -> None:
    async with make("revs-hang").run_test(size=size) as pilot:
        await left(pilot)
        await opened(pilot)
        assert "not finished" in text(pilot)
        await press(pilot, "o")
        assert "Where you left it" in seen(pilot)
        assert walk(pilot).symptom == "revs-hang"


@pytest.mark.parametrize("size", SIZES)
async def test_what_is_owed_is_ticked_a_look_at_a_time(make: Make, size: tuple[int, int]) -> None:
    async with make("revs-hang").run_test(size=size) as pilot:
        await left(pilot)
        await opened(pilot)
        owed = [one.check for one in shown(pilot).owed]
        assert owed
        await press(pilot, "t", "1")
        assert page(pilot) == "Asked", seen(pilot)
        await press(pilot, "1")
        event = walk(pilot).events[-1]
        assert isinstance(event, ev.Answered)
        assert (event.check, event.answer) == (owed[0], walk(pilot).scope.checks[owed[0]].healthy)
        await press(pilot, "escape")
        assert page(pilot) == "CarPage"
        assert [one.check for one in shown(pilot).owed] == owed[1:]


async def test_a_tick_that_was_a_slip_is_taken_back_where_it_was_made(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await left(pilot)
        await opened(pilot)
        owed = [one.check for one in shown(pilot).owed]
        await press(pilot, "t", "1", "1")
        assert "take the last tick back" in seen(pilot)
        await press(pilot, "end", "enter")
        assert isinstance(walk(pilot).events[-1], ev.Retracted)
        assert "take the last tick back" not in seen(pilot)
        await press(pilot, "escape")
        assert [one.check for one in shown(pilot).owed] == owed


async def test_where_several_walks_are_open_one_is_chosen_to_tick_in(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await left(pilot)
        session = app(pilot).session
        older = session.outing
        assert isinstance(session.clock, Clock)
        session.clock.at += 60
        session.start("revs-hang", session.engine(NAME))
        assert session.outing != older
        await opened(pilot)
        await press(pilot, "t")
        assert "Which walk?" in seen(pilot)
        await press(pilot, "2")
        assert "Owed before a needle" in seen(pilot)
        await press(pilot, "1")
        assert session.outing == older
        assert "Is it running now? Stop it." in seen(pilot)


@pytest.mark.parametrize("size", SIZES)
async def test_the_tune_over_time_is_read_on_a_key(make: Make, size: tuple[int, int]) -> None:
    async with tuned(make()).run_test(size=size) as pilot:
        await opened(pilot)
        await press(pilot, "v")
        assert "The tune over time" in seen(pilot)
        told = text(pilot)
        assert ", baseline" in told
        assert told.index("marked good") < told.index(", baseline")  # the newest first
        assert "high needle 36 hours" in told
        await press(pilot, "escape")
        assert page(pilot) == "CarPage"


async def test_a_look_that_is_otherwise_is_opened_in_its_walk(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await left(pilot)
        await opened(pilot)
        check = shown(pilot).owed[0].check
        count = len(walk(pilot).events)
        await press(pilot, "t", "1", "2")
        assert page(pilot) == "Bench"
        assert app(pilot).session.asked == check
        assert len(walk(pilot).events) == count


async def test_on_another_day_all_is_owed_again_and_a_tick_asks_first_what_has_happened(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await left(pilot)
        await opened(pilot)
        before = len(shown(pilot).owed)
        app(pilot).session.clock.at += 2 * 86_400  # type: ignore[attr-defined]
        await press(pilot, "escape")
        await opened(pilot)
        assert len(shown(pilot).owed) > before
        await press(pilot, "t", "1")
        answered = [one for one in walk(pilot).events if isinstance(one, ev.Answered)]
        await press(pilot, "1")
        assert page(pilot) == "Since", seen(pilot)
        assert [one for one in walk(pilot).events if isinstance(one, ev.Answered)] == answered


async def test_the_route_is_told_in_words_with_the_branch_that_was_taken(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await press(pilot, "1", "g")
        assert page(pilot) == "ToRead"
        assert "Revs hang: the route" in seen(pilot)
        told = text(pilot)
        assert "taken)" in told
        for node in walk(pilot).knowledge.symptoms["revs-hang"].route:
            assert node in told
