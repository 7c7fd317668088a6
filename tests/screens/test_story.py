"""A history question that takes several answers, on the screen: tick, go on, take back."""

from __future__ import annotations

import pytest
from screens.hands import MEDIUM, NARROW, SIZES, Make, app, page, press, seen, tap, walk
from syrupy.assertion import SnapshotAssertion

from diagnose.graph.model import Knowledge
from diagnose.reason import events as ev

SIZE = pytest.mark.parametrize("size", SIZES)


def boxes(text: str) -> list[str]:
    """Return the lines that begin with a box that is ticked."""
    return [line.strip() for line in text.split("\n") if "[x]" in line]


async def test_digits_tick_and_enter_goes_on(make: Make, shipped: Knowledge) -> None:
    async with make("overheats", knowledge=shipped).run_test(size=MEDIUM) as pilot:
        await press(pilot, "enter")
        assert page(pilot) == "History"
        assert "Has anybody turned a screw" in seen(pilot)
        await press(pilot, "4", "2")
        assert len(boxes(seen(pilot))) == 2
        assert not walk(pilot).state.told
        await press(pilot, "enter")
        assert walk(pilot).events[-1] == ev.Told(app(pilot).session.clock(), "screws", "high needle", ("mid needle",))
        assert "What has happened to it" in seen(pilot)
        assert boxes(seen(pilot)) == []


async def test_a_digit_pressed_again_takes_its_tick_away(make: Make, shipped: Knowledge) -> None:
    async with make("overheats", knowledge=shipped).run_test(size=MEDIUM) as pilot:
        await press(pilot, "enter", "2", "2")
        assert boxes(seen(pilot)) == []
        await press(pilot, "enter")  # nothing is ticked, and nothing is marked: nothing is answered
        assert not walk(pilot).state.told


async def test_none_of_these_stands_alone_and_needs_one_key(make: Make, shipped: Knowledge) -> None:
    async with make("overheats", knowledge=shipped).run_test(size=MEDIUM) as pilot:
        await press(pilot, "enter", "2", "1")
        assert boxes(seen(pilot)) == []
        assert not walk(pilot).state.told
        await press(pilot, "1")
        assert walk(pilot).state.told == {"screws": ("nobody",)}


async def test_a_question_with_nothing_ticked_is_skipped_with_0_and_all_of_them_with_n(
    make: Make, shipped: Knowledge
) -> None:
    async with make("overheats", knowledge=shipped).run_test(size=MEDIUM) as pilot:
        await press(pilot, "enter", "0")
        assert walk(pilot).state.told == {"screws": ()}
        await press(pilot, "n")
        assert page(pilot) == "Bench"
        assert set(walk(pilot).state.told.values()) == {()}


async def test_what_was_ticked_is_taken_back_and_asked_again_with_nothing_ticked(
    make: Make, shipped: Knowledge
) -> None:
    async with make("overheats", knowledge=shipped).run_test(size=MEDIUM) as pilot:
        await press(pilot, "enter", "2", "3", "enter", "u")
        assert "the high needle; the low needle" in seen(pilot)
        await press(pilot, "enter")
        assert "Has anybody turned a screw" in seen(pilot)
        assert boxes(seen(pilot)) == []
        assert walk(pilot).standing.belief == walk(pilot).plus(ev.Told(0.0, "screws", ev.SKIPPED)).standing.belief


@SIZE
async def test_several_answers_need_only_taps(make: Make, shipped: Knowledge, size: tuple[int, int]) -> None:
    async with make("overheats", knowledge=shipped).run_test(size=size) as pilot:
        await tap(pilot, "the high needle", "the low needle", "go on with")
        assert walk(pilot).state.told == {"screws": ("high needle", "low needle")}


async def test_several_answers_need_only_arrows_and_enter(make: Make, shipped: Knowledge) -> None:
    async with make("overheats", knowledge=shipped).run_test(size=MEDIUM) as pilot:
        await press(pilot, "enter", "down", "down", "enter", "enter")
        assert walk(pilot).state.told == {"screws": ("high needle",)}


@pytest.mark.parametrize("size", [MEDIUM, NARROW])
async def test_every_answer_of_the_longest_question_is_in_sight(
    make: Make, shipped: Knowledge, size: tuple[int, int], screenful: SnapshotAssertion
) -> None:
    async with make("overheats", knowledge=shipped).run_test(size=size) as pilot:
        await press(pilot, "enter", "1", "4", "6")
        if size == MEDIUM:
            shown = seen(pilot)
            assert all(answer.say in shown for answer in shipped.history["changed"].answers.values())
            assert "go on with what is ticked" in shown
        assert seen(pilot) == screenful
