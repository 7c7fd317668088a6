"""A class by keys: set in few keys, turns one after another, the sheet, two windows, a nickname like markup."""

from __future__ import annotations

import pytest
from screens.hands import Hand, Make, app, page, press, seen, toast, write

from diagnose.graph.model import Knowledge
from diagnose.practice import happenings as hp
from diagnose.practice.class_set import ClassWish, together
from diagnose.practice.lesson import TURNED, Practice
from diagnose.screens.messages import PageWanted
from diagnose.workshop import classes
from diagnose.workshop.learners import learners

pytestmark = pytest.mark.slow

SIZES = [(120, 36), (80, 24), (44, 20)]
MARKUP = "[/]"


def hidden(shipped: Knowledge) -> hp.Begun:
    return together(shipped, ClassWish("cuts-on-the-straight", {"pressure-line-off": 0.8}, "saturday"))


async def seated(pilot: Hand, shipped: Knowledge, *names: str) -> classes.PracticeClass:
    """Seat some, and open the class."""
    session = app(pilot).session
    of = classes.begin(session.journal, hidden(shipped), session.clock())
    for name in names:
        classes.sit(session.journal, shipped, of, name, session.clock())
    pilot.app.screen.say(PageWanted("teach", "class"))  # type: ignore[attr-defined]
    await press(pilot, "5")
    assert page(pilot) == "ClassTable"
    return of


SIX = ("ana", "ben", "eva", "kim", "leo", "mia")


def sitting(pilot: Hand) -> list[str]:
    """Return who sits in the newest class, by the numbers of the seats."""
    journal = app(pilot).session.journal
    return [one.nickname for one in classes.seats(journal, classes.opened(journal))]


async def counted(pilot: Hand, *keys: str, typed: str = "") -> int:
    """Press keys as a mentor does, one by one, and what is typed last; return how often the keyboard was touched."""
    app(pilot).session.clock.at += 60  # type: ignore[attr-defined]
    for key in (*keys, *typed):
        await press(pilot, key)
    if typed:
        await press(pilot, "enter")
    return len(keys) + len(typed) + bool(typed)


async def test_six_who_are_known_are_set_in_twenty_keys_at_most(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped).run_test() as pilot:
        await counted(pilot, "f6", "c", "1", typed=",".join(SIX))
        assert sitting(pilot) == list(SIX)
        again = await counted(pilot, "escape", "f6", "c", "2", "1")  # the same six: one key says so
        assert page(pilot) == "ClassTable"
        assert sitting(pilot) == list(SIX)
        other = await counted(pilot, "escape", "f6", "c", "1", "3", typed="2")  # another class comes between
        assert sitting(pilot) == ["seat 1", "seat 2"]
        offered = classes.known_learners(app(pilot).session.journal)
        ticked = await counted(
            pilot, "escape", "f6", "c", "1", "2", *(str(offered.index(one) + 1) for one in SIX), "enter"
        )
        assert page(pilot) == "ClassTable"
        assert sitting(pilot) == list(SIX), "in the order in which they were chosen"
        assert max(again, other, ticked) <= 20


@pytest.mark.parametrize("size", SIZES)
async def test_one_that_was_chosen_by_mistake_is_taken_out_again(
    make: Make, shipped: Knowledge, size: tuple[int, int]
) -> None:
    async with make(knowledge=shipped).run_test(size=size) as pilot:
        await counted(pilot, "f6", "c", "1", typed="kim, ana,[/]")
        await counted(pilot, "escape", "f6", "c", "1", "2")
        assert "seat 1" not in seen(pilot)
        await press(pilot, "enter")
        assert page(pilot) == "Ticked", "nobody is chosen yet"
        offered = classes.known_learners(app(pilot).session.journal)
        markup, kim = (str(offered.index(one) + 1) for one in (MARKUP, "kim"))
        await press(pilot, markup, kim)
        assert f"[1] {MARKUP}" in seen(pilot)
        assert "[2] kim" in seen(pilot)
        await press(pilot, markup)
        assert "[1] kim" in seen(pilot)
        await press(pilot, "enter")
        assert sitting(pilot) == ["kim"]


async def test_any_screw_of_the_engine_is_put_off_by_keys_and_the_owner_says_so(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped).run_test() as pilot:
        await press(pilot, "f6", "c", "4")
        await write(pilot, shipped.symptoms["cuts-on-the-straight"].name)
        await press(pilot, "enter", "enter")
        await write(pilot, shipped.faults["pressure-line-off"].name)
        await press(pilot, "enter", "enter", "enter", "1")  # no second fault; badly
        assert "Are its screws off?" in seen(pilot)
        await press(pilot, "3", "2")  # the mid needle, leaner
        assert "too lean" in seen(pilot)
        await write(pilot, "9")
        await press(pilot, "enter")
        assert "up to 6 hours" in seen(pilot)
        await press(pilot, "ctrl+u")
        await write(pilot, "1/2")
        await press(pilot, "enter")
        assert TURNED in " ".join(seen(pilot).split())
        await press(pilot, "4", "1")  # the idle stop, in: the mid needle is not offered again
        await write(pilot, "1")
        await press(pilot, "enter", "1", "enter")
        await write(pilot, "6")
        await press(pilot, "enter")
        begun = classes.opened(app(pilot).session.journal).begun
        assert dict(begun.turned) == {"mid needle": -0.5, "idle stop": 1.0}
        practice = Practice(shipped, [begun])
        assert practice.variant.needles == 3
        assert TURNED in practice.story()


async def test_six_seats_are_set_by_their_number(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped).run_test() as pilot:
        assert await counted(pilot, "f6", "c", "1", typed="6") == 5
        assert sitting(pilot) == [f"seat {number}" for number in range(1, 7)]


@pytest.mark.parametrize("size", SIZES)
async def test_each_has_a_turn_and_nothing_hidden_is_shown(
    make: Make, shipped: Knowledge, size: tuple[int, int]
) -> None:
    name = shipped.faults["pressure-line-off"].name
    async with make(knowledge=shipped).run_test(size=size, notifications=True) as pilot:
        of = await seated(pilot, shipped, "kim", MARKUP)
        assert f"2 {MARKUP}: not begun" in seen(pilot)
        assert name not in seen(pilot)
        await press(pilot, "enter", "enter", "1")
        assert "What does that tell you?" in seen(pilot)
        await press(pilot, "1")
        practice = app(pilot).at.practice
        assert practice is not None
        assert isinstance(practice.events[-1], hp.MadeOfIt)
        await press(pilot, "g", "1")
        assert "You stopped here" in seen(pilot), "what came of the last step stands above the first question"
        await press(pilot, "1", "1")
        assert page(pilot) == "ClassTable"
        assert "1 kim: given up" in seen(pilot)
        assert name not in seen(pilot)
        there = classes.seats(app(pilot).session.journal, of)
        assert [one.kept.scored is not None for one in there] == [True, False]
        assert hp.Reflected(1, 1) in there[0].kept.events
        await press(pilot, "2")
        assert page(pilot) == "PracticeBench"
        assert seen(pilot).startswith(f"  {MARKUP} ·")


async def test_the_sheet_and_each_debrief_can_be_opened(make: Make, shipped: Knowledge) -> None:
    name = shipped.faults["pressure-line-off"].name
    async with make(knowledge=shipped).run_test(notifications=True) as pilot:
        await seated(pilot, shipped, "kim")
        await press(pilot, "d")
        assert "no end yet" in toast(pilot)
        await press(pilot, "enter", "r", "g", "1", "2")
        await press(pilot, "s")
        assert page(pilot) == "ToRead"
        assert name in seen(pilot)
        await press(pilot, "escape", "d")
        assert page(pilot) == "DebriefPage"
        await press(pilot, "w")
        await write(pilot, "Guards first.")
        await press(pilot, "enter")
        practice = app(pilot).at.practice
        assert practice is not None
        assert practice.said(hp.Ruled) == hp.Ruled("Guards first.")


@pytest.mark.parametrize("size", SIZES)
async def test_results_are_read_and_a_learner_is_deleted_wholly_by_keys(
    make: Make, shipped: Knowledge, size: tuple[int, int]
) -> None:
    async with make(knowledge=shipped).run_test(size=size, notifications=True) as pilot:
        await press(pilot, "f6", "r")
        assert "No result yet" in toast(pilot)
        await press(pilot, "escape")
        await seated(pilot, shipped, "kim", MARKUP)
        await press(pilot, "enter", "r", "g", "1", "2")
        assert page(pilot) == "ClassTable"
        await press(pilot, "escape", "f6")
        assert page(pilot) == "PracticeStart"  # and not the bench of whoever of the class had the last turn
        await press(pilot, "r", "enter")
        read = " ".join(seen(pilot).split())
        assert page(pilot) == "ToRead"
        assert "kim: cuts on the straight" in read
        assert "given up after" in read
        assert MARKUP in read  # has sat down, and come to no end
        await press(pilot, "escape", "x", "down", "enter", "1")  # keep it: the first choice does no harm
        journal = app(pilot).session.journal
        assert learners(journal) == [MARKUP, "kim"]
        await press(pilot, "x", "down", "enter", "2")
        assert learners(journal) == [MARKUP]
        assert "kim" not in [seat.nickname for seat in app(pilot).at.table.seats]


async def test_the_slower_of_two_windows_is_told_and_shows_what_the_other_did(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped).run_test(notifications=True) as pilot:
        of = await seated(pilot, shipped, "kim")
        await press(pilot, "enter")
        session = app(pilot).session
        other = classes.sit(session.journal, shipped, of, "kim", session.clock())
        classes.keep_seat(session.journal, "kim", other.plus(hp.Looked("along-the-lines")), 1, session.clock())
        await press(pilot, "r")
        assert "another window has gone on" in toast(pilot)
        practice = app(pilot).at.practice
        assert practice is not None
        assert [line.event for line in practice.lines] == [hp.Looked("along-the-lines")]


async def test_what_is_next_is_told_with_why_and_begins_behind_an_example(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped).run_test() as pilot:
        await press(pilot, "f6", "n")
        await write(pilot, "kim")
        await press(pilot, "enter")
        assert "you have not worked at this area yet" in seen(pilot)
        await press(pilot, "1")
        assert seen(pilot).startswith("  A worked example")
        await press(pilot, "1")
        assert page(pilot) == "PracticeBench"
        practice = app(pilot).at.practice
        assert practice is not None
        assert practice.begun.shown == len(practice.lines) > 0


async def test_who_has_the_last_turn_is_not_told_to_wait_for_others(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped).run_test(notifications=True) as pilot:
        await seated(pilot, shipped, "kim", "ana")
        await press(pilot, "1", "g", "1")
        assert "waits until all have had their turn" in toast(pilot)
        await press(pilot, "2", "g", "1")
        assert page(pilot) == "ClassTable"
        assert "Everybody has had a turn" in toast(pilot)
        assert "waits until" not in toast(pilot)
