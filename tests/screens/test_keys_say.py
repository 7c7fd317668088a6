"""Keys do what they say: letters search where there is a search, no word leaves, and a filled form is kept."""

from __future__ import annotations

from typing import get_args

import pytest
from screens.hands import (
    MEDIUM,
    NARROW,
    SIZES,
    Hand,
    Make,
    app,
    begun,
    go_on,
    page,
    press,
    seen,
    step,
    stuck,
    tap,
    until,
    walk,
    write,
)
from screens.test_looks import HOME, WALK
from screens.test_tuning_looks import NEW, TUNED
from screens.tuned import ledger, tuned
from textual.widgets import Input

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge, Variant
from diagnose.pages.unsaved import OFFERED_AGAIN
from diagnose.reason.events import Started
from diagnose.reason.steps import StepMaker
from diagnose.reason.walk import begin
from diagnose.screens.form import FormScreen
from diagnose.screens.searching import SearchScreen
from diagnose.screens.widgets.choices import Choices
from diagnose.tune.needles import TriedResult

pytestmark = pytest.mark.slow

PAGES = HOME | WALK | NEW | TUNED
WORDS = ("quit", "stalls", "dead plug", "exit", "help me", "xyzzy")


def made(make: Make, name: str) -> tuple[object, object]:
    opened = make("revs-hang" if name in WALK else "")
    return (tuned(opened) if name in TUNED else opened), PAGES[name]


def sought(pilot: Hand) -> str:
    return pilot.app.screen.query_one("#search", Input).value


# letters


@pytest.mark.parametrize("word", WORDS)
async def test_letters_typed_at_home_go_into_the_search(make: Make, word: str) -> None:
    async with make().run_test(size=MEDIUM) as pilot:
        await press(pilot)
        await write(pilot, word)
        assert page(pilot) == "Home"
        assert sought(pilot) == word
        await press(pilot, "escape")
        assert sought(pilot) == ""


async def test_letters_go_into_the_search_from_the_list_as_well(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped).run_test(size=MEDIUM) as pilot:
        await press(pilot)
        await write(pilot, "sta")
        await press(pilot, "down", "down")
        await write(pilot, "lls")
        assert sought(pilot) == "stalls"
        await press(pilot, "enter", "enter")
        assert page(pilot) in ("Beware", "History")


async def test_letters_go_into_the_search_of_every_page_that_has_one(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        for key, name in (("a", "Listing"), ("question_mark", "Words")):
            await press(pilot, key)
            assert page(pilot) == name
            assert isinstance(pilot.app.screen, SearchScreen)
            await write(pilot, "quit")
            assert (page(pilot), sought(pilot)) == (name, "quit")
            assert "^q leave" in seen(pilot)
            await press(pilot, "escape")
            assert page(pilot) == "Bench"


@pytest.mark.parametrize(
    ("key", "typed", "fits"),
    [
        ("a", "needle settings", "count and return"),
        ("question_mark", "wrench", "spanner"),
        ("question_mark", "tdc", "dead"),
    ],
)
async def test_checks_and_words_are_found_by_what_people_say(
    make: Make, shipped: Knowledge, key: str, typed: str, fits: str
) -> None:
    async with make("revs-hang", knowledge=shipped).run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await press(pilot, key)
        await write(pilot, typed)
        assert fits in seen(pilot)


async def test_the_commands_of_home_are_on_keys_that_type_nothing_and_the_foot_names_them(make: Make) -> None:
    opens = {"f2": "Engines", "f3": "Needles", "f4": "DayPage", "f5": "ToRead", "f6": "PracticeStart"}
    async with make().run_test(size=(120, 36)) as pilot:
        await press(pilot)
        for key, name in opens.items():
            await write(pilot, "revs")
            assert f"{key} " in seen(pilot)
            await press(pilot, key)
            assert page(pilot) == name
            await press(pilot, "escape", "escape")
            assert page(pilot) == "Home"


async def test_what_was_sought_is_gone_after_a_walk(make: Make) -> None:
    async with make().run_test(size=MEDIUM) as pilot:
        await press(pilot)
        await write(pilot, "revs")
        await press(pilot, "enter", "enter")
        assert page(pilot) == "Beware"
        await press(pilot, "escape")
        assert sought(pilot) == ""
        assert "not finished" in seen(pilot)


@pytest.mark.parametrize("name", PAGES)
async def test_no_word_typed_on_any_page_leaves_the_program(make: Make, name: str) -> None:
    opened, go = made(make, name)
    async with opened.run_test(size=MEDIUM) as pilot:  # type: ignore[attr-defined]
        await go(pilot)  # type: ignore[operator]
        await press(pilot, *"quit")
        await press(pilot, *"exit")
        assert not app(pilot).leaving
        assert pilot.app.is_running


async def test_the_letter_leaves_when_it_is_pressed_twice_on_end(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM, notifications=True) as pilot:
        await begun(pilot)
        await press(pilot, "q")
        assert "Press q again" in seen(pilot)
        await press(pilot, "w", "escape", "q")
        assert not app(pilot).leaving
        await press(pilot, "q")
        assert app(pilot).leaving


@pytest.mark.parametrize("name", PAGES)
async def test_escape_then_enter_then_anything_always_works(make: Make, name: str) -> None:
    opened, go = made(make, name)
    async with opened.run_test(size=MEDIUM) as pilot:  # type: ignore[attr-defined]
        await go(pilot)  # type: ignore[operator]
        for _ in range(20):
            await press(pilot, "escape")
            if page(pilot) == "Home":
                break
        assert page(pilot) == "Home"
        await press(pilot, "enter")
        assert page(pilot) != "Home"
        await press(pilot, "exclamation_mark")
        assert page(pilot) == "Wrong"
        await press(pilot, "escape", "question_mark")
        assert page(pilot) == "Words"


# forms


async def fill_engine(pilot: Hand) -> None:
    await press(pilot, "f2", "n")
    await write(pilot, "red buggy")
    await press(pilot, "enter", "up", "enter")


async def test_a_form_that_was_left_is_offered_again_as_it_was_filled(make: Make) -> None:
    async with make().run_test(size=(120, 36)) as pilot:
        await fill_engine(pilot)
        await press(pilot, "escape")
        assert page(pilot) == "Engines"
        await press(pilot, "n")
        assert OFFERED_AGAIN in seen(pilot)
        assert pilot.app.screen.query_one("#name", Input).value == "red buggy"
        assert isinstance(pilot.app.screen, FormScreen)
        assert pilot.app.screen.chosen("needles") == 0
        await press(pilot, "ctrl+s")
        assert app(pilot).session.engine("red buggy").variant.needles == 2
        await press(pilot, "n")
        assert OFFERED_AGAIN not in seen(pilot)  # it is saved


@pytest.mark.parametrize(
    ("keys", "field", "text"),
    [
        (("f4",), "temperature", "21 C"),
        (("f3", "r"), "high-needle", "36"),
        (("f3", "t"), "why", "bogs"),
        (("f3", "g"), "plug", "cold"),
    ],
)
async def test_every_form_is_kept_when_it_is_left(make: Make, keys: tuple[str, ...], field: str, text: str) -> None:
    async with tuned(make()).run_test(size=(120, 36)) as pilot:
        await press(pilot, *keys)
        pilot.app.screen.query_one(f"#{field}").focus()
        pilot.app.screen.query_one(f"#{field}", Input).value = text
        await press(pilot, "escape")
        await press(pilot, keys[-1])
        assert pilot.app.screen.query_one(f"#{field}", Input).value == text
        assert OFFERED_AGAIN in seen(pilot)


async def test_the_readings_of_a_well_card_are_kept_when_it_is_left(make: Make) -> None:
    async with make().run_test(size=MEDIUM, notifications=True) as pilot:
        await press(pilot, "f3", "w", "enter", "1", ".", "2", "enter")
        await press(pilot, "escape", "escape", "escape")
        assert page(pilot) == "Needles"
        await press(pilot, "w", "enter")
        assert pilot.app.screen.query_one("#number", Input).value == "1.2"


async def test_a_form_that_is_not_saved_is_asked_about_before_the_program_is_left(make: Make) -> None:
    async with make().run_test(size=MEDIUM, notifications=True) as pilot:
        await fill_engine(pilot)
        await press(pilot, "ctrl+q")
        assert not app(pilot).leaving
        assert "not saved" in " ".join(seen(pilot).replace("▌", " ").split())
        await press(pilot, "ctrl+q")
        assert app(pilot).leaving


async def test_a_form_that_the_ledger_refuses_is_still_to_be_had(make: Make, monkeypatch: pytest.MonkeyPatch) -> None:
    opened = tuned(make())

    def refused(*_: object) -> None:
        raise DiagnoseError("not like this")

    async with opened.run_test(size=(120, 36)) as pilot:
        await press(pilot, "f3", "r")
        pilot.app.screen.query_one("#high-needle", Input).value = "36"
        with monkeypatch.context() as patched:
            patched.setattr(opened.session, "write", refused)
            await press(pilot, "ctrl+s")
        await press(pilot, "r")
        assert pilot.app.screen.query_one("#high-needle", Input).value == "36"
        await press(pilot, "ctrl+s")
        assert ledger(opened).now["high needle"].hours == 36


# one order


def test_what_came_of_it_stands_in_one_order_everywhere(shipped: Knowledge) -> None:
    order = ["cured", "better", "same", "worse"]
    made = begin(shipped, Started(0.0, shipped.digest, "revs-hang", "", Variant()))
    listed = [[choice.id for choice in StepMaker(made.standing).retest("").choices], list(get_args(TriedResult))]
    listed += [list(check.answers) for check in shipped.checks.values() if "cured" in check.answers]
    assert len(listed) > 3
    for one in listed:
        assert [name for name in one if name in order] == [name for name in order if name in one]


# a finger or a mouse


@pytest.mark.parametrize("size", SIZES)
async def test_every_answer_of_a_walk_can_be_tapped_to_its_end(make: Make, size: tuple[int, int]) -> None:
    async with make().run_test(size=size) as pilot:
        await tap(pilot, "revs hang", "it stands still", "skip this")
        for _ in range(40):
            if page(pilot) == "End":
                break
            if page(pilot) == "Beware":
                await tap(pilot, "I have read this")
                continue
            before, asked = len(walk(pilot).events), page(pilot)
            first = pilot.app.screen.query_one(Choices)._shown[0][1].say
            await tap(pilot, first[:24])
            if asked != "Ready":  # what is answered there is no event
                assert len(walk(pilot).events) > before or page(pilot) in ("Beware", "Ready")
        assert page(pilot) == "End"
        await tap(pilot, "back to the first page")
        assert page(pilot) == "Home"


@pytest.mark.parametrize("size", SIZES)
async def test_every_key_of_the_foot_can_be_tapped(make: Make, size: tuple[int, int]) -> None:
    opens = {
        "b suspects": "ToRead",
        "w why": "ToRead",
        "u take back": "TakeBack",
        "i what if": "ToRead",
        "t time": "Time",
        "h needles": "Needles",
        "d day": "DayPage",
        "? words": "Words",
        "! something is wrong": "Wrong",
    }
    async with make("revs-hang").run_test(size=size) as pilot:
        await begun(pilot)
        await press(pilot, "1")
        for label, name in opens.items():
            if label == "b suspects" and size[0] > 104:
                continue
            if label not in seen(pilot):
                await tap(pilot, "+ more")
            await tap(pilot, label)
            assert page(pilot) == name, label
            await tap(pilot, "esc back")
            assert page(pilot) == "Bench"


async def test_what_is_below_the_edge_is_read_on_by_a_tap(make: Make, shipped: Knowledge) -> None:
    async with make("bogs-off-the-line", knowledge=shipped).run_test(size=NARROW) as pilot:
        await begun(pilot)
        while page(pilot) != "Bench":
            await go_on(pilot)
        while "▼ more" not in seen(pilot):
            await go_on(pilot)
        text = pilot.app.screen.query_one("#text")
        await tap(pilot, "▼ more")
        assert text.scroll_y > 0


async def test_not_quite_sure_and_what_each_check_has_can_be_tapped(make: Make) -> None:
    async with make("revs-hang").run_test(size=NARROW) as pilot:
        await begun(pilot)
        await until(pilot, "ask")
        before = step(pilot)
        await tap(pilot, "not quite sure" if "not quite sure" in seen(pilot) else "not sure")
        assert "[✓]" in seen(pilot)
        await tap(pilot, "can't tell")
        if page(pilot) == "Asked":
            await stuck(pilot)
        assert step(pilot) != before


async def test_100_kb_in_a_field_does_no_harm(make: Make) -> None:
    huge = "x9 " * 34_000
    async with tuned(make()).run_test(size=MEDIUM, notifications=True) as pilot:
        for keys in (
            ("f4",),
            ("f2", "n"),
            ("f3", "r"),
            ("f3", "t"),
            ("f3", "g"),
            ("f3", "i"),
            ("f3", "w", "enter"),
            ("f6",),
        ):
            await press(pilot, *keys)
            for field in list(pilot.app.screen.query(Input)):
                field.value = huge
            await press(pilot, "ctrl+s", "enter", "exclamation_mark")
            assert page(pilot) == "Wrong"
            for _ in range(8):
                if page(pilot) != "Home":
                    await press(pilot, "escape")
            assert page(pilot) == "Home"
        await press(pilot)
        pilot.app.screen.query_one("#search", Input).value = huge
        await press(pilot, "escape", "enter")
        assert page(pilot) == "Beware"


async def test_one_letter_says_nothing_yet_and_two_begin_a_word(make: Make) -> None:
    async with make().run_test(size=MEDIUM) as pilot:
        await press(pilot, "r")
        assert "revs hang" in seen(pilot)
        assert "nothing has that in it" not in seen(pilot)
        await press(pilot, "e")
        assert "revs hang" in seen(pilot)
        await press(pilot, "q", "q")
        assert "nothing has that in it" in seen(pilot)
