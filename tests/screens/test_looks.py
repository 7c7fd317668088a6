"""What each page looks like, at three sizes."""

from __future__ import annotations

import re
from collections.abc import Awaitable, Callable

import pytest
from screens.hands import SIZES, Hand, Make, begun, faint, press, seen, until
from syrupy.assertion import SnapshotAssertion

THUMB = re.compile(r"[▁▂▃▄▅▆]|▇(?=\s*(│|\n|$))")
"""The ends of scrollbars: they say how long a text is to an eighth of a row, which is no part of how a page reads."""

Go = Callable[[Hand], Awaitable[None]]


def keys(*pressed: str) -> Go:
    async def go(pilot: Hand) -> None:
        await press(pilot, *pressed)

    return go


def bench(*pressed: str) -> Go:
    async def go(pilot: Hand) -> None:
        await begun(pilot)
        await press(pilot, *pressed)

    return go


def step_of(kind: str, *pressed: str, **answers: str) -> Go:
    async def go(pilot: Hand) -> None:
        await begun(pilot)
        await until(pilot, kind, **answers)
        await press(pilot, *pressed)

    return go


HOME: dict[str, Go] = {
    "home": keys(),
    "search": keys("slash", "x", "y"),
    "engines": keys("f2"),
    "engine-form": keys("f2", "n"),
    "words": keys("question_mark"),
    "cautions": keys("f5"),
    "wrong": keys("exclamation_mark"),
}
WALK: dict[str, Go] = {
    "stop-first": keys(),
    "history": keys("enter"),
    "bench": bench(),
    "bench-accused": step_of("mend", tank_holds_pressure="2"),
    "retest": step_of("retest", tank_holds_pressure="2"),
    "heat": step_of("prepare"),
    "needle": step_of("adjust", pinch_at_idle="2"),
    "undo": step_of("undo", pinch_at_idle="2", retest="4"),
    "refer": step_of("refer", ask="0"),
    "handed-over": step_of("refer", "1", ask="0"),
    "cured": step_of("retest", "1", tank_holds_pressure="2"),
    "time": bench("t", "8", "enter"),
    "why": bench("w"),
    "what-if": bench("i"),
    "another": bench("a"),
    "take-back": bench("1", "u"),
}


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("name", [*HOME, *WALK])
async def test_the_page_looks_as_before(
    make: Make, screenful: SnapshotAssertion, name: str, size: tuple[int, int]
) -> None:
    async with make("revs-hang" if name in WALK else "").run_test(size=size) as pilot:
        await (HOME | WALK)[name](pilot)
        await pilot.pause()
        assert THUMB.sub(" ", seen(pilot)) == screenful
        assert await faint(pilot) == []  # WCAG 2.2, 1.4.3
