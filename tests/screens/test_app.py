"""The screens, driven by keys alone on the shipped knowledge."""

from __future__ import annotations

import pytest
from screens.hands import SIZES
from shipped import load

from diagnose.graph.model import Variant
from diagnose.record.engines import Engine
from diagnose.record.journal import Journal
from diagnose.screens.app import NeedlesLast
from diagnose.workshop.session import Session


def session() -> Session:
    """Return a session in memory, with an engine, whose clock stands still."""
    made = Session(load(), Journal.in_memory(), clock=lambda: 1000.0)
    made.add_engine(Engine("red buggy", Variant()))
    return made


@pytest.mark.parametrize("size", SIZES)
async def test_a_symptom_is_chosen_and_its_first_check_answered_by_keyboard_alone(size: tuple[int, int]) -> None:
    made = session()
    async with NeedlesLast(made, symptom="revs-hang", engine="red buggy").run_test(size=size) as pilot:
        for _ in range(12):
            await pilot.pause()
            if made.walk is not None and made.walk.state.answers:
                break
            await pilot.press("enter" if type(pilot.app.screen).__name__ == "Beware" else "1")
        assert made.walk is not None
        assert len(made.walk.state.answers) == 1
        assert len(made.journal.read(f"outing/{made.outing}")) == len(made.walk.events)


@pytest.mark.parametrize("size", SIZES)
async def test_something_is_wrong_is_one_key_away(size: tuple[int, int]) -> None:
    async with NeedlesLast(session(), symptom="revs-hang", engine="red buggy").run_test(size=size) as pilot:
        await pilot.pause()
        before = pilot.app.screen
        await pilot.press("!")
        await pilot.pause()
        assert type(pilot.app.screen).__name__ == "Wrong"
        await pilot.press("escape")
        await pilot.pause()
        assert pilot.app.screen is before


async def test_a_tiny_terminal_does_not_crash() -> None:
    async with NeedlesLast(session()).run_test(size=(20, 5)) as pilot:
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        assert pilot.app.is_running
