"""Something was seen: on a walk it is found by its words, answered or noted; at home it leads to a walk."""

from __future__ import annotations

import pytest
from screens.hands import MEDIUM, SIZES, Make, begun, page, press, seen, step, walk, write
from textual.widgets import OptionList

from diagnose.graph.model import Knowledge
from diagnose.reason import events as ev


async def test_a_look_is_found_by_what_was_seen_and_answered_though_nothing_asked_for_it(
    make: Make, shipped: Knowledge
) -> None:
    async with make("revs-hang", knowledge=shipped).run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await press(pilot, "a")
        await write(pilot, "smoke on the straight")
        assert "seen before, while it ran" in seen(pilot)
        await press(pilot, "enter", "enter")
        assert (step(pilot).id, step(pilot).before) == ("smoke-on-the-straight", True)
        await press(pilot, "1")
        told = walk(pilot).events[-1]
        assert isinstance(told, ev.Answered)
        assert told.before


@pytest.mark.parametrize("size", SIZES)
async def test_what_is_no_look_is_kept_as_a_note(make: Make, shipped: Knowledge, size: tuple[int, int]) -> None:
    async with make("revs-hang", knowledge=shipped).run_test(size=size) as pilot:
        await begun(pilot)
        await press(pilot, "a")
        await write(pilot, "zzz qqq")
        assert "keep it as a note: zzz qqq" in seen(pilot)
        await press(pilot, "enter", "enter")
        told = walk(pilot).events[-1]
        assert isinstance(told, ev.Noted)
        assert told.text == "zzz qqq"
        assert page(pilot) == "Bench"


@pytest.mark.parametrize("size", SIZES)
async def test_from_home_a_finding_leads_to_a_walk_that_mends_it(
    make: Make, shipped: Knowledge, size: tuple[int, int]
) -> None:
    async with make(knowledge=shipped).run_test(size=size) as pilot:
        await write(pilot, "carburettor wiggles")
        assert "wiggle and roll" in seen(pilot)
        pilot.app.screen.query_one(OptionList).focus()
        listed = pilot.app.screen.query_one(OptionList)
        listed.highlighted = listed.get_option_index("saw/wiggle-and-roll")
        await press(pilot, "enter")
        assert "What did you see?" in seen(pilot)
        await press(pilot, "1")
        assert "What does the car do?" in seen(pilot)
        await press(pilot, "1")
        first = walk(pilot).events[1]
        assert isinstance(first, ev.Answered)
        assert first.check == "wiggle-and-roll"


async def test_home_offers_to_say_what_was_seen_with_no_symptom(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped).run_test(size=MEDIUM) as pilot:
        await press(pilot, "end")
        assert "I saw something" in seen(pilot)
