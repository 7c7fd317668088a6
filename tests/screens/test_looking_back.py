"""Coming back to a walk that waits, and looking back at those that have ended."""

from __future__ import annotations

import pytest
from screens.hands import MEDIUM, SIZES, Hand, Make, app, begun, page, press, seen, step, tap, toast, until, walk, write

from diagnose.graph.model import Knowledge
from diagnose.reason import events as ev
from diagnose.record.deleting import tombstones
from diagnose.record.notes import notes_of_outing


def flat(pilot: Hand) -> str:
    return " ".join(seen(pilot).split())


async def cured(pilot: Hand) -> None:
    await begun(pilot)
    await until(pilot, "mend", tank_holds_pressure="2")
    await until(pilot, "retest", mend="1")
    await tap(pilot, "it is gone: cured")
    assert "✓ Cured" in seen(pilot)
    await press(pilot, "1")


async def test_a_walk_called_cured_by_mistake_is_opened_again_and_the_record_only_grows(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await cured(pilot)
        before = walk(pilot).events
        await tap(pilot, "look back at a walk")
        assert "revs hang · blue truggy · cured: pressure line" in flat(pilot)
        await press(pilot, "enter")
        await tap(pilot, "it was not cured: open this walk again")
        after = walk(pilot).events
        assert after[: len(before)] == before
        assert isinstance(after[-1], ev.Reopened)
        while page(pilot) in ("Beware", "Ready"):
            await press(pilot, "enter" if page(pilot) == "Beware" else "1")
        assert (walk(pilot).verdict(), step(pilot).kind) == (None, "retest")
        await press(pilot, "escape")
        assert "→ go on: revs hang" in flat(pilot)


@pytest.mark.parametrize("size", SIZES)
async def test_a_list_of_walks_says_what_cured_each_to_its_end(make: Make, size: tuple[int, int]) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await cured(pilot)
        await tap(pilot, "look back at a walk")
        await pilot.resize_terminal(*size)
        assert "cured: pressure line off or split, " in flat(pilot)
        assert "…" not in seen(pilot)


async def test_home_offers_no_looking_back_before_there_is_a_walk(make: Make) -> None:
    async with make().run_test(size=MEDIUM) as pilot:
        assert page(pilot) == "Home"
        await press(pilot, "end")
        assert "look back" not in seen(pilot)


async def test_the_first_walk_is_deleted_while_it_is_open(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await press(pilot, "escape")
        assert "go on: revs hang" in flat(pilot)
        await tap(pilot, "look back at a walk")
        await press(pilot, "enter")
        await tap(pilot, "delete it")
        await tap(pilot, "delete it for good")
        assert len(tombstones(app(pilot).session.journal)) == 1
        await press(pilot, "escape")
        assert page(pilot) == "Home"
        assert "go on: revs hang" not in flat(pilot)
        assert "look back" not in flat(pilot)


async def test_on_coming_back_what_was_done_is_told_and_what_was_open_is_confirmed(
    make: Make, shipped: Knowledge
) -> None:
    async with make("spins-but-never-fires", knowledge=shipped).run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        while "plug" not in walk(pilot).state.open:
            if page(pilot) == "Beware":
                await press(pilot, "enter")
            else:
                healthy = shipped.checks[step(pilot).id].healthy
                await press(pilot, str([one.id for one in step(pilot).choices].index(healthy) + 1))
        while page(pilot) != "Bench":
            await press(pilot, "enter")
        await press(pilot, "escape", "enter")
        assert "What was done:" in seen(pilot)
        assert "This was open. Is it still?" in seen(pilot)
        assert "the plug is out" in flat(pilot)
        await tap(pilot, "no, all of it has been closed")
        assert walk(pilot).state.open == ()
        assert app(pilot).session.walk is not None


async def looked_back(pilot: Hand) -> None:
    """Walk to a cure, and look back at it."""
    await cured(pilot)
    await tap(pilot, "look back at a walk")
    await press(pilot, "enter")


@pytest.mark.parametrize("size", SIZES)
async def test_a_walk_is_gone_through_step_by_step(make: Make, size: tuple[int, int]) -> None:
    async with make("revs-hang").run_test(size=size) as pilot:
        await looked_back(pilot)
        assert "Mending: pressure line off or split" in flat(pilot)
        await press(pilot, "1")
        steps = len(walk(pilot).events)
        assert f"Step 1 of {steps}" in seen(pilot)
        assert "it began: revs hang" in flat(pilot)
        assert "owed before a needle then" in flat(pilot)
        await press(pilot, *["1"] * (steps - 1))
        assert f"Step {steps} of {steps}" in seen(pilot)
        assert "Cured: the mend cured it." in flat(pilot)
        await tap(pilot, "the step before")
        assert f"Step {steps - 1} of {steps}" in seen(pilot)
        await press(pilot, "escape", "escape")
        assert page(pilot) == "Listing"
        await press(pilot, "escape")
        assert page(pilot) == "Home"


async def test_a_walk_is_found_by_what_it_was_and_by_what_was_noted_of_it(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await looked_back(pilot)
        await tap(pilot, "note something about it")
        await press(pilot, "ctrl+s")
        assert "Say what you saw." in seen(pilot)
        await write(pilot, "the [bell] was loose")
        await press(pilot, "ctrl+s")
        assert "the [bell] was loose" in str(notes_of_outing(app(pilot).session.journal, app(pilot).session.outing))
        assert page(pilot) == "Asked"
        await press(pilot, "escape")
        await write(pilot, "[bell] pressure")
        assert "revs hang · blue truggy" in seen(pilot)
        await write(pilot, " nothing")
        assert "No walk fits that." in seen(pilot)


async def test_a_walk_is_deleted_once_it_was_asked_whether_it_is_to_be(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM, notifications=True) as pilot:
        await looked_back(pilot)
        session = app(pilot).session
        await tap(pilot, "delete it")
        assert "Delete this walk?" in seen(pilot)
        assert "a screw stays where it was turned" in flat(pilot)
        await press(pilot, "1")  # what comes first keeps it
        assert page(pilot) == "Asked"
        assert tombstones(session.journal) == []
        await tap(pilot, "delete it")
        await tap(pilot, "delete it for good")
        assert "is deleted." in toast(pilot)
        assert [one.events for one in tombstones(session.journal)] == [8]
        assert session.rows() == []
        assert "No walk fits that." in seen(pilot)
        await press(pilot, "escape")
        assert page(pilot) == "Home"
        assert "look back" not in seen(pilot)
