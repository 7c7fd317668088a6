"""The screens, driven by keys alone on the shipped knowledge."""

from __future__ import annotations

from textual.widgets import OptionList

from diagnose.graph.load import load
from diagnose.record.journal import Journal
from diagnose.screens.app import Bench, NeedlesLast, Now
from diagnose.session import Session


def session() -> Session:
    """Return a session in memory whose clock stands still."""
    return Session(load(), Journal.in_memory(), clock=lambda: 1000.0)


async def test_a_symptom_is_chosen_and_its_first_check_answered_by_keyboard_alone() -> None:
    made = session()
    async with NeedlesLast(made).run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("down", "enter")
        assert isinstance(pilot.app.screen, Bench)
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        assert made.walk is not None
        assert len(made.walk.events) == 2
        stored = made.journal.read(f"outing/{made.outing}")
        assert len(stored) == 2
        await pilot.press("u")
        await pilot.pause()
        assert not made.walk.state.answers


async def test_something_is_wrong_is_one_key_away_on_every_screen() -> None:
    async with NeedlesLast(session()).run_test(size=(44, 20)) as pilot:
        await pilot.pause()
        await pilot.press("!")
        assert isinstance(pilot.app.screen, Now)
        await pilot.press("escape")
        await pilot.press("down", "enter")
        await pilot.pause()
        await pilot.press("!")
        assert isinstance(pilot.app.screen, Now)


async def test_a_tiny_terminal_does_not_crash() -> None:
    async with NeedlesLast(session()).run_test(size=(20, 5)) as pilot:
        await pilot.pause()
        assert pilot.app.screen.query_one(OptionList).option_count > 10
