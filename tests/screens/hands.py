"""How a test looks at the screen, presses keys and taps."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Callable, Collection

import pytest
from contrast import ENOUGH, contrast
from rich.color_triplet import ColorTriplet
from textual.geometry import Offset
from textual.pilot import Pilot

from diagnose.reason.view import Step
from diagnose.reason.walk import Walk
from diagnose.screens.app import NeedlesLast
from diagnose.screens.bench import Bench
from diagnose.screens.widgets.picked_by import numbered
from diagnose.workshop.session import reading_unit

Make = Callable[..., NeedlesLast]
Hand = Pilot[int]
MOMENT = 0.005
"""Seconds in which what waits to be painted is painted: tests/conftest.py sets 500 frames a second."""

WIDE, MEDIUM, NARROW = (120, 36), (80, 24), (44, 20)
SIZES = (pytest.param(WIDE, marks=pytest.mark.slow), MEDIUM, pytest.param(NARROW, marks=pytest.mark.slow))
"""For parametrize. The quick run sees a page at its middle size."""


class Clock:
    """A clock that stands still until it is moved; seconds since the epoch, a morning in 2027."""

    def __init__(self) -> None:
        self.at = 1_800_000_000.0

    def __call__(self) -> float:
        return self.at


async def quiet(min_sleep: float = 0.0, max_sleep: float = 1.0) -> None:
    """Wait until no task of the loop has anything to do, and once more a moment later: what it counts is no time."""
    ready: Collection[object] = asyncio.get_running_loop()._ready  # type: ignore[attr-defined]
    for moment in (0.0, MOMENT):
        await asyncio.sleep(moment)
        while ready:
            await asyncio.sleep(0)


def seen(pilot: Hand) -> str:
    """Return the screen as text; this is the only private name that is touched."""
    return "\n".join(strip.text.rstrip() for strip in pilot.app.screen._compositor.render_strips())


def toast(pilot: Hand) -> str:
    """Return what is told beside the page, as one line."""
    return " ".join(line.partition("▌")[2].strip() for line in seen(pilot).split("\n") if "▌" in line)


def page(pilot: Hand) -> str:
    """Return the name of the page that is shown."""
    return type(pilot.app.screen).__name__


def app(pilot: Hand) -> NeedlesLast:
    assert isinstance(pilot.app, NeedlesLast)
    return pilot.app


def step(pilot: Hand) -> Step:
    """Return the step that the bench shows."""
    assert isinstance(pilot.app.screen, Bench), page(pilot)
    assert pilot.app.screen.step is not None
    return pilot.app.screen.step


def walk(pilot: Hand) -> Walk:
    """Return the walk as it stands."""
    made = app(pilot).session.walk
    assert made is not None
    return made


async def begun(pilot: Hand) -> None:
    """Read the first page, skip the history, and read what the first step asks to beware of, if it is new."""
    await press(pilot, "enter", "n")
    if page(pilot) == "Beware":
        await press(pilot, "enter")


async def answer(pilot: Hand, digit: str) -> None:
    """Give the answer with this digit: by arrows and enter, where a number is asked for and digits type it."""
    if reading_unit(step(pilot)):
        digits = [known for known, _ in numbered(step(pilot).choices)]
        await press(pilot, *["down"] * (digits.index(digit) + 1), "enter")
    else:
        await press(pilot, digit)


async def go_on(pilot: Hand, digit: str = "1") -> None:
    """Leave a page of cautions, skip the history, or give the answer with this digit."""
    if page(pilot) == "Bench":
        await answer(pilot, digit)
    else:
        await press(pilot, {"Beware": "enter", "History": "n"}.get(page(pilot), digit))


async def stuck(pilot: Hand) -> None:
    """Say that one could not reach it, and go on alone."""
    await press(pilot, "1" if "What is in the way?" in seen(pilot) else "3")


async def until(pilot: Hand, kind: str, **answers: str) -> None:
    """Answer in good health, and otherwise as said for a kind of step or a check, until a step of this kind."""
    for _ in range(40):
        if page(pilot) == "Beware":
            await press(pilot, "enter")
        elif page(pilot) == "Ready":
            await press(pilot, "1")
        elif page(pilot) == "Asked":
            await stuck(pilot)
        elif page(pilot) == "End":
            break
        elif step(pilot).kind == kind:
            return
        else:
            now = step(pilot)
            known = answers.get(now.id.replace("-", "_")) if now.kind == "ask" else None
            await answer(pilot, known or answers.get(now.kind, "1"))
    raise AssertionError(f"no step of the kind '{kind}' came:\n{seen(pilot)}")


async def press(pilot: Hand, *keys: str) -> None:
    """Press keys one after another; a longer word is typed letter by letter."""
    await pilot.pause()
    for key in keys:
        await pilot.press(key)
        await pilot.pause()


async def write(pilot: Hand, text: str) -> None:
    """Type text."""
    await press(pilot, *("space" if sign == " " else sign for sign in text))


def where(pilot: Hand, text: str) -> Offset:
    """Return where a text begins on the screen."""
    for y, line in enumerate(seen(pilot).split("\n")):
        if (x := line.find(text)) >= 0:
            return Offset(x, y)
    raise AssertionError(f"{text!r} is not on the screen:\n{seen(pilot)}")


async def tap(pilot: Hand, *texts: str) -> None:
    """Tap on texts, one after another; a key that the foot has no room for is there after a tap on what names more."""
    await pilot.pause()
    for text in texts:
        if text not in seen(pilot) and "+ more" in seen(pilot):
            await pilot.click(offset=where(pilot, "+ more"))
            await pilot.pause()
        await pilot.click(offset=where(pilot, text))
        await pilot.pause()


async def faint(pilot: Hand) -> list[str]:
    """Return what stands out too little from what is behind it on this page, by day or by night."""
    found = []
    for theme in ("night", "day"):
        app(pilot).theme = theme
        await pilot.pause()
        found += [
            segment.text.strip()
            for strip in app(pilot).screen._compositor.render_strips()
            for segment in strip
            if re.search(r"\w", segment.text) and segment.style is not None
            if (ink := segment.style.color) is not None and (behind := segment.style.bgcolor) is not None
            if contrast(ink.get_truecolor().hex, behind.get_truecolor().hex) < ENOUGH
        ]
    return found


def colours(pilot: Hand) -> set[ColorTriplet]:
    """Return every colour that is drawn now."""
    return {
        colour.triplet
        for strip in app(pilot).screen._compositor.render_strips()
        for segment in strip
        if segment.style is not None
        for colour in (segment.style.color, segment.style.bgcolor)
        if colour is not None and colour.triplet is not None
    }
