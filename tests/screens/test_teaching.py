"""A class by keys: set in few keys, turns one after another, the sheet, two windows, a nickname like markup."""

from __future__ import annotations

import pytest
from screens.hands import Hand, Make, app, page, press, seen, toast, write

from diagnose.graph.model import Knowledge
from diagnose.practice import happenings as hp
from diagnose.practice.class_set import ClassWish, together
from diagnose.screens.messages import PageWanted
from diagnose.workshop import classes

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


async def test_a_class_of_six_is_set_in_twenty_keys_at_most(make: Make, shipped: Knowledge) -> None:
    nicknames = "a,b,c,d,e,f"
    async with make(knowledge=shipped).run_test() as pilot:
        await press(pilot, "f6", "c", "1")
        await write(pilot, nicknames)
        await press(pilot, "enter")
        assert page(pilot) == "ClassTable"
        assert len(classes.seats(app(pilot).session.journal, classes.opened(app(pilot).session.journal))) == 6
        assert len(("f6", "c", "1", *nicknames, "enter")) <= 20
        await press(pilot, "escape", "f6", "c", "2", "1")  # the same six again: four keys and a digit
        assert page(pilot) == "ClassTable"
        assert len(classes.seats(app(pilot).session.journal, classes.opened(app(pilot).session.journal))) == 6


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
        await press(pilot, "g", "1", "enter", "enter")
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
        await press(pilot, "enter", "r", "g", "1", "enter")
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
