"""What a page shows is what its keys do: no digit while digits are typed, no lock where nothing is to be turned."""

from __future__ import annotations

import pytest
from screens.hands import MEDIUM, NARROW, SIZES, Hand, Make, app, begun, go_on, page, press, seen, step, until, write
from screens.tuned import tuned
from textual.content import Content

from diagnose.graph.model import Knowledge
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.column import Column

pytestmark = pytest.mark.slow

FORMS = {"engine": ("f2", "n"), "day": ("f4",), "heat": ("f3", "i")}


def below(pilot: Hand) -> str:
    return seen(pilot).split("────")[-1]


@pytest.mark.parametrize("form", FORMS)
async def test_while_a_field_has_the_keys_no_digit_is_shown(make: Make, form: str) -> None:
    async with (opened := make()).run_test() as pilot:
        tuned(opened)
        await press(pilot, *FORMS[form])
        assert "→  " in below(pilot)
        assert "1  " not in below(pilot)
        pilot.app.screen.query_one(Choices).focus()
        await pilot.pause()
        assert "→  " not in below(pilot)
        assert "1  " in below(pilot)


async def test_digits_go_into_the_name_and_choose_once_another_has_the_keys(make: Make) -> None:
    async with make(engine=None).run_test() as pilot:
        await press(pilot, "f2", "n")
        await write(pilot, "truggy 21")
        assert page(pilot) == "EngineForm"
        await press(pilot, "tab")
        assert "1  save this engine" in below(pilot)
        await press(pilot, "1")
        assert list(app(pilot).session.engines()) == ["truggy 21"]


async def test_where_a_reading_is_asked_no_answer_has_a_digit(make: Make) -> None:
    async with make("revs-hang").run_test() as pilot:
        await begun(pilot)
        assert "\n  1  " in below(pilot)
        await until(pilot, "prepare")
        for key in ("n", "escape"):
            assert "\n  1  " not in below(pilot)
            assert "\n  →  " in below(pilot)
            await press(pilot, key)


async def test_a_hand_over_where_nothing_was_to_be_turned_shows_no_lock(make: Make, shipped: Knowledge) -> None:
    async with make("kicks-back", knowledge=shipped).run_test(size=(120, 36)) as pilot:
        while page(pilot) != "Bench":
            await go_on(pilot)
        await until(pilot, "refer", ask="0")
        assert step(pilot).kind == "refer"
        assert "what it could be" in seen(pilot)
        assert "needles:" not in seen(pilot)


async def test_a_hand_over_where_a_needle_could_be_wrong_shows_it(make: Make) -> None:
    async with make("revs-hang").run_test(size=(120, 36)) as pilot:
        await begun(pilot)
        await until(pilot, "refer", ask="0")
        assert "needles: locked" in seen(pilot)


async def test_the_step_at_hand_is_in_sight_however_long_the_trail(make: Make, shipped: Knowledge) -> None:
    async with make("overheats", knowledge=shipped).run_test(size=(120, 11)) as pilot:
        await begun(pilot)
        for _ in range(9):
            await go_on(pilot)
        while page(pilot) != "Bench":
            await go_on(pilot)
        assert "so far" not in seen(pilot)
        assert "└ ?" in seen(pilot)


@pytest.mark.parametrize("size", SIZES)
async def test_the_text_is_read_on_by_keys_and_goes_on_at_its_top(make: Make, size: tuple[int, int]) -> None:
    async with make("revs-hang").run_test(size=size) as pilot:
        await begun(pilot)
        text = pilot.app.screen.query_one("#text", Column)
        text.show(Content("\n".join(f"line {number}" for number in range(60))))
        await pilot.pause()
        await press(pilot, "space")
        assert text.scroll_y == text.size.height - 1
        assert f"line {text.scroll_y:.0f}" in seen(pilot)
        await press(pilot, "pageup")
        assert text.scroll_y == 0
        await press(pilot, "pagedown", "1")
        assert text.scroll_y == 0


@pytest.mark.parametrize("after", SIZES)
@pytest.mark.parametrize("before", [*SIZES, (25, 8)])
async def test_the_bench_follows_every_change_of_the_window(
    make: Make, before: tuple[int, int], after: tuple[int, int]
) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await pilot.resize_terminal(*before)
        await pilot.pause()
        await pilot.resize_terminal(*after)
        await pilot.pause()
        changed = seen(pilot)
    async with make("revs-hang").run_test(size=after) as pilot:
        await begun(pilot)
        assert changed == seen(pilot)


async def test_what_is_pressed_after_leaving_opens_no_page(make: Make) -> None:
    async with make().run_test() as pilot:
        app(pilot).leaving = True
        await press(pilot, "f2")
        assert page(pilot) == "Home"
        app(pilot).leaving = False
        await press(pilot, "f2")
        assert page(pilot) == "Engines"


async def test_two_open_walks_of_one_symptom_are_told_apart_on_a_narrow_first_page(make: Make) -> None:
    opened = make()
    session, clock = opened.session, opened.session.clock
    for _ in range(2):
        session.start("revs-hang", session.engine("blue truggy"))
        session.record(session.walk.tell(session.untold()[0], (), clock()))  # type: ignore[union-attr]
        clock.at += 86_400 * 20  # type: ignore[attr-defined]
    async with opened.run_test(size=NARROW) as pilot:
        await press(pilot)
        assert "→ 2027-01-15 08:00 · revs hang" in seen(pilot)
        assert "→ 2027-02-04 08:00 · revs hang" in seen(pilot)
        assert "…" not in seen(pilot)
