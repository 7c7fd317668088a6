"""A practice that was left, on the screen: it is offered first, and stands exactly as it was left."""

from __future__ import annotations

import msgspec
import pytest
from screens.hands import Hand, Make, app, page, press, seen, tap, toast, write
from screens.test_practice import practice
from screens.test_practice_looks import SEEN, done, practising, sit

from diagnose.graph.model import Knowledge
from diagnose.practice import happenings as hp
from diagnose.practice import setting
from diagnose.screens.messages import Opened
from diagnose.workshop.learners import practices, results

pytestmark = pytest.mark.slow

FOLLOW = "follow the fuel"


async def left(make: Make, shipped: Knowledge, *lessons: str) -> None:
    """Leave two looks at each lesson, in a window that is closed then."""
    async with make(knowledge=shipped).run_test() as pilot:
        for lesson in lessons or ("follow-the-fuel",):
            await sit(pilot, "kim", lesson)
            await done(pilot, *SEEN[:2])


async def choose(pilot: Hand, lesson: str, name: str = "kim") -> None:
    await press(pilot, "f6")
    await tap(pilot, lesson)
    if page(pilot) == "PracticeStart":
        await press(pilot, "enter")
    await write(pilot, name)
    await press(pilot, "enter")


async def test_choosing_a_practice_offers_what_was_left_first(make: Make, shipped: Knowledge) -> None:
    await left(make, shipped)
    async with make(knowledge=shipped).run_test() as pilot:
        await choose(pilot, "it runs hot")
        assert page(pilot) == "Asked"
        assert f"1  {FOLLOW} · 2 steps · 2027-01-15 08:00" in seen(pilot)
        await press(pilot, "1")
        assert page(pilot) == "PracticeBench"
        assert practice(pilot).begun.lesson == "follow-the-fuel"
        assert len(practice(pilot).lines) == 2
        await done(pilot, hp.GaveUp())
        await press(pilot, "1", "1")
        assert [one.scored.lesson for one in results(app(pilot).session.journal, "kim")] == ["follow-the-fuel"]
        await press(pilot, "escape", "escape")
        assert page(pilot) == "Home"


async def test_the_new_one_can_be_begun_instead(make: Make, shipped: Knowledge) -> None:
    await left(make, shipped)
    async with make(knowledge=shipped).run_test() as pilot:
        await choose(pilot, "it runs hot")
        await press(pilot, "2")
        assert practice(pilot).begun.lesson == "it-runs-hot"
        kept = practices(app(pilot).session.journal, "kim", shipped)
        assert [len(one.lines) for one in kept] == [2, 0]


async def test_it_can_be_chosen_without_beginning_another(make: Make, shipped: Knowledge) -> None:
    await left(make, shipped, "follow-the-fuel", "it-runs-hot")
    async with make(knowledge=shipped).run_test(notifications=True) as pilot:
        await press(pilot, "f6")
        assert "go on with what you left" in seen(pilot)
        await press(pilot, "enter")
        await write(pilot, "kim")
        await press(pilot, "enter")
        assert seen(pilot).index("it runs hot") < seen(pilot).index(FOLLOW)
        assert "begin the new one" not in seen(pilot)
        await press(pilot, "2")
        assert practice(pilot).begun.lesson == "follow-the-fuel"


async def test_who_left_nothing_is_told_so_and_can_choose_something_else(make: Make, shipped: Knowledge) -> None:
    await left(make, shipped)
    async with make(knowledge=shipped).run_test(notifications=True) as pilot:
        await press(pilot, "f6", "enter")
        await write(pilot, "ana")
        await press(pilot, "enter")
        assert page(pilot) == "PracticeStart"
        assert "ana has left nothing unfinished" in seen(pilot)


async def test_going_back_from_the_offer_begins_nothing(make: Make, shipped: Knowledge) -> None:
    await left(make, shipped)
    async with make(knowledge=shipped).run_test() as pilot:
        await choose(pilot, "it runs hot")
        await press(pilot, "escape")
        assert page(pilot) == "PracticeStart"
        assert app(pilot).at.table.seats == ()


async def test_a_hidden_fault_stays_hidden_on_going_on(make: Make, shipped: Knowledge) -> None:
    hidden = setting.hidden(shipped, "cuts-on-the-straight", "pick-up-split", "one")
    async with make(knowledge=shipped).run_test() as pilot:
        practising(pilot).seat("kim", lambda _: hidden)
        await pilot.pause()
    opened = make(knowledge=shipped)
    opened.first = Opened(setting.from_lesson(shipped, "it-runs-hot"), "kim")
    async with opened.run_test() as pilot:
        await pilot.pause()
        assert page(pilot) == "Asked"  # from the command line too
        told = seen(pilot)
        await press(pilot, "1")
        told += seen(pilot)
        assert practice(pilot).hands.wrong() == ["pick-up-split"]
        assert shipped.faults["pick-up-split"].name not in told


async def test_after_a_change_of_the_knowledge_one_line_says_so(make: Make, shipped: Knowledge) -> None:
    await left(make, shipped)
    other = msgspec.structs.replace(shipped, digest="another")
    async with make(knowledge=other).run_test(notifications=True) as pilot:
        await choose(pilot, "it runs hot")
        assert page(pilot) == "PracticeBench"
        assert "the knowledge has changed since. It is kept all the same." in toast(pilot)


async def test_without_a_nickname_nothing_is_offered(make: Make, shipped: Knowledge) -> None:
    await left(make, shipped)
    async with make(knowledge=shipped).run_test() as pilot:
        await choose(pilot, "it runs hot", "")
        assert page(pilot) == "PracticeBench"
