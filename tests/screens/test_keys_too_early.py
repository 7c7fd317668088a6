"""A reading is what was typed, and a key answers only a page that was there to be read when it was pressed."""

from __future__ import annotations

import pytest
from screens.hands import (
    MEDIUM,
    NARROW,
    WIDE,
    Hand,
    Make,
    answer,
    app,
    begun,
    page,
    press,
    seen,
    step,
    until,
    walk,
    where,
)
from textual.events import Key, MouseDown, MouseUp
from textual.geometry import Offset
from textual.widgets import Input

from diagnose.graph.model import Knowledge
from diagnose.reason import events as ev
from diagnose.screens.page import PageScreen, now
from diagnose.workshop.session import reading_unit

pytestmark = pytest.mark.slow

LONG = 60.0
"""Seconds: whatever is pressed twice in a test is pressed within them."""


@pytest.fixture
def slow_hands(monkeypatch: pytest.MonkeyPatch) -> None:
    """Anything pressed twice is a double press."""
    monkeypatch.setattr("diagnose.screens.ahead.TWICE", LONG)


def send(pilot: Hand, *keys: str) -> None:
    """Send keys all at once, as a terminal does with what was typed while the program was busy."""
    for key in keys:
        pilot.app.post_message(Key(key, key if len(key) == 1 else None))


def touch(pilot: Hand, at: Offset, when: float = 0.0) -> None:
    """Tap as a terminal reports it: the button goes down, and up; `when` by the clock of the keys, or now."""
    for kind in (MouseDown, MouseUp):
        event = kind(None, at.x, at.y, 0, 0, 1, False, False, False, at.x, at.y)
        event.time = when or event.time
        pilot.app.post_message(event)


async def at_a_reading(pilot: Hand) -> None:
    """Go on to the preparation that asks for the head."""
    await begun(pilot)
    await until(pilot, "prepare")
    assert reading_unit(step(pilot)) == "°C"


# a reading is what was typed


@pytest.mark.parametrize("size", [WIDE, MEDIUM, NARROW])
async def test_digits_type_the_number_that_is_asked_for(make: Make, size: tuple[int, int]) -> None:
    async with make("revs-hang").run_test(size=size) as pilot:
        await at_a_reading(pilot)
        await press(pilot, "1")
        field = pilot.app.screen.query_one("#number", Input)
        assert pilot.app.focused is field
        assert field.value == "1"
        await press(pilot, "0", "4", "enter")
        heat = walk(pilot).state.heat
        assert heat is not None
        assert heat.head == 104


async def test_digits_sent_all_at_once_are_the_number_in_their_order(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await at_a_reading(pilot)
        send(pilot, *"104.5", "enter")
        await pilot.pause()
        heat = walk(pilot).state.heat
        assert heat is not None
        assert heat.head == 104.5


async def test_a_number_may_begin_with_its_point(make: Make, shipped: Knowledge) -> None:
    async with make("idles-too-high", knowledge=shipped).run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        while page(pilot) != "Bench":
            await press(pilot, "enter" if page(pilot) == "Beware" else "n")
        await press(pilot, "a", "slash", *"idle", "space", *"gap", "enter", "enter")
        while page(pilot) == "Beware":
            await press(pilot, "enter")
        await press(pilot, ".", "7", "enter")
        measured = [event for event in walk(pilot).events if isinstance(event, ev.Measured)]
        assert [event.value for event in measured] == [0.7]


@pytest.mark.parametrize("size", [WIDE, MEDIUM, NARROW])
async def test_the_page_says_how_a_number_and_an_answer_are_given(make: Make, size: tuple[int, int]) -> None:
    async with make("revs-hang").run_test(size=size) as pilot:
        await at_a_reading(pilot)
        assert "in °C:" in seen(pilot)
        assert "↓ and enter" in seen(pilot)
        assert "\n  1  " not in seen(pilot)


async def test_an_answer_is_chosen_by_arrows_and_enter_where_a_number_is_asked(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await at_a_reading(pilot)
        asked = step(pilot)
        await press(pilot, "down", "down", "enter")
        last = walk(pilot).events[-1]
        assert isinstance(last, ev.Prepared)
        assert last.outcome == asked.choices[1].id


async def test_on_the_well_card_a_digit_never_skips_a_number(make: Make) -> None:
    async with make().run_test(size=MEDIUM) as pilot:
        await press(pilot, "f3", "w", "enter", "down", "0")
        field = pilot.app.screen.query_one("#number", Input)
        assert pilot.app.focused is field
        assert field.value == "0"


# what was typed ahead is dropped


async def test_keys_sent_before_the_next_question_was_painted_do_not_answer_it(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        before = len(walk(pilot).events)
        send(pilot, *"1212")
        await pilot.pause()
        assert len(walk(pilot).events) == before + 1


async def test_keys_sent_before_another_page_was_painted_do_not_answer_it(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await pilot.pause()
        send(pilot, "enter", "2", "n")
        await pilot.pause()
        assert page(pilot) == "History"
        assert not walk(pilot).state.told


async def test_a_key_that_waited_while_the_page_was_made_is_dropped_and_the_next_is_taken(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        shown = app(pilot).screen
        assert isinstance(shown, PageScreen)
        before = len(walk(pilot).events)
        early = Key("1", "1")
        early.time = shown.seen_at - 0.001
        pilot.app.post_message(early)
        await pilot.pause()
        assert len(walk(pilot).events) == before
        await press(pilot, "1")
        assert len(walk(pilot).events) == before + 1


async def test_trouble_is_never_too_early(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await pilot.pause()
        send(pilot, "enter", "exclamation_mark")
        await pilot.pause()
        assert page(pilot) == "Wrong"


async def test_a_tap_that_waited_answers_nothing(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await press(pilot, "enter")
        assert page(pilot) == "History"
        shown, at = app(pilot).screen, where(pilot, "skip this question")
        assert isinstance(shown, PageScreen)
        touch(pilot, at, shown.seen_at - 0.001)
        await pilot.pause()
        assert not walk(pilot).state.told
        touch(pilot, at)
        await pilot.pause()
        assert len(walk(pilot).state.told) == 1


# a double press


@pytest.mark.parametrize("key", ["1", "2"])
async def test_a_caution_page_is_not_left_by_a_key_that_answers(make: Make, key: str) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await press(pilot, key)
        assert page(pilot) == "Beware"
        assert "enter  it stands still, and I have read this" in seen(pilot)
        await press(pilot, "enter")
        assert page(pilot) == "History"


async def test_a_caution_page_can_be_left_by_a_tap(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await pilot.pause()
        touch(pilot, where(pilot, "I have read this"))
        await pilot.pause()
        assert page(pilot) == "History"


async def test_the_cautions_of_the_well_card_are_left_by_enter_alone(make: Make) -> None:
    async with make().run_test(size=MEDIUM) as pilot:
        await press(pilot, "f3", "w", "1")
        assert "Before you begin" in seen(pilot)
        await press(pilot, "enter")
        assert "question 1 of" in seen(pilot)


@pytest.mark.usefixtures("slow_hands")
async def test_the_same_key_again_right_after_a_page_has_changed_answers_nothing(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        before = len(walk(pilot).events)
        await press(pilot, "1", "1", "1")
        assert len(walk(pilot).events) == before + 1
        await press(pilot, "2")  # another key is meant
        assert len(walk(pilot).events) == before + 2


async def test_the_same_key_again_is_taken_once_the_moment_is_over(make: Make, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("diagnose.screens.ahead.TWICE", 0.3)
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await press(pilot, "1")
        shown = app(pilot).screen
        assert isinstance(shown, PageScreen)
        before = len(walk(pilot).events)
        for later, taken in ((0.29, 0), (0.31, 1)):
            again = Key("1", "1")
            again.time = shown.seen_at + later
            pilot.app.post_message(again)
            await pilot.pause()
            assert len(walk(pilot).events) == before + taken


@pytest.mark.usefixtures("slow_hands")
async def test_the_same_digit_twice_is_still_a_number(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await at_a_reading_slowly(pilot)
        await press(pilot, "1", "1", "0", "enter")
        heat = walk(pilot).state.heat
        assert heat is not None
        assert heat.head == 110


async def at_a_reading_slowly(pilot: Hand) -> None:
    """Go on to the preparation, as hands do that never press twice within a minute."""
    for _ in range(40):
        shown = app(pilot).screen
        assert isinstance(shown, PageScreen)
        app(pilot).ahead.last = ""
        if page(pilot) == "Bench" and reading_unit(step(pilot)):
            return
        await press(pilot, {"Beware": "enter", "History": "n"}.get(page(pilot), "1"))
    raise AssertionError(seen(pilot))


@pytest.mark.usefixtures("slow_hands")
async def test_a_tap_twice_on_the_same_place_answers_once(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await pilot.pause()
        at = where(pilot, "I have read this")
        for _ in range(3):
            touch(pilot, at)
            await pilot.pause()
        assert page(pilot) == "History"
        assert not walk(pilot).state.told


@pytest.mark.usefixtures("slow_hands")
async def test_arrows_may_be_pressed_as_often_as_one_likes(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await press(pilot, "enter", "down", "down", "down", "enter")
        assert len(walk(pilot).state.told) == 1


# nothing is answered unseen


@pytest.mark.parametrize("size", [(20, 5), (29, 24), (80, 8)])
@pytest.mark.parametrize("key", ["1", "enter", "n", "s", "a", "x"])
async def test_a_window_too_small_to_show_anything_takes_no_answer(make: Make, size: tuple[int, int], key: str) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await press(pilot, "down")
        await pilot.resize_terminal(*size)
        await pilot.pause()
        assert "larger" in seen(pilot)
        before = walk(pilot).events
        await press(pilot, key)
        assert walk(pilot).events == before
        assert page(pilot) == "Bench"
        await pilot.resize_terminal(*MEDIUM)
        await press(pilot, "1")
        assert len(walk(pilot).events) == len(before) + 1


async def test_a_window_that_is_too_small_shows_trouble_and_says_how_to_leave(make: Make) -> None:
    async with make("revs-hang").run_test(size=(20, 5)) as pilot:
        await pilot.pause()
        told = " ".join(seen(pilot).split())
        assert told == "Make the window larger. ! something is wrong esc back ^q leave"
        await press(pilot, "exclamation_mark")
        assert page(pilot) == "Wrong"
        await press(pilot, "escape", "escape")
        assert page(pilot) == "Home"


async def test_a_window_that_is_too_small_can_be_left_even_from_a_field(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await at_a_reading(pilot)
        await press(pilot, "1")
        await pilot.resize_terminal(20, 5)
        await press(pilot, "7")
        assert pilot.app.screen.query_one("#number", Input).value == "1"
        await press(pilot, "ctrl+q")
    assert pilot.app.return_code == 0


async def test_the_clock_of_the_keys_goes_on() -> None:
    assert now() <= Key("1", "1").time <= now()


async def test_every_answer_of_a_walk_can_be_given_without_a_number(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await at_a_reading(pilot)
        before = len(walk(pilot).events)
        await answer(pilot, "1")
        assert len(walk(pilot).events) == before + 1
