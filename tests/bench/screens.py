"""How long the screens take: the first one, and from a key to the painted next question, beside a bare app."""

from __future__ import annotations

import asyncio
import gc
import statistics
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from textual import events
from textual.app import App, ComposeResult
from textual.pilot import Pilot
from textual.widgets import Label

from diagnose.graph.load import load
from diagnose.graph.model import Variant
from diagnose.record.engines import Engine
from diagnose.record.journal import Journal
from diagnose.screens import ahead
from diagnose.screens.app import NeedlesLast, settle_memory
from diagnose.screens.bench import Bench
from diagnose.screens.beware import Beware
from diagnose.workshop.session import Session

BARE = """
from textual.app import App
from textual.widgets import Label
class Bare(App):
    def compose(self):
        yield Label("hello")
    def on_mount(self):
        self.call_after_refresh(self.exit)
Bare().run(headless=True, size=(120, 36))
"""

OURS = """
from functools import partialmethod
from diagnose.screens.app import NeedlesLast, run
mounted = NeedlesLast.on_mount
def on_mount(self):
    mounted(self)
    self.call_after_refresh(self.exit)
NeedlesLast.on_mount = on_mount
NeedlesLast.run = partialmethod(NeedlesLast.run, headless=True, size=(120, 36))
run()
"""

PRESSES = 200
BARE_PRESSES = 12
"""Presses of the bare app after each walk."""
MOST_WALKS = 60
SETTLED = 0.15
"""Seconds after a key in which everything is painted."""

SYMPTOMS = ("revs-hang", "loads-up-at-idle", "cuts-on-the-straight", "overheats")


class Bare(App[None]):
    """One label that changes with each key."""

    count = 0

    def compose(self) -> ComposeResult:
        """Show the label."""
        yield Label("0")

    def on_key(self, event: events.Key) -> None:
        """Change it."""
        self.count += 1
        self.query_one(Label).update(f"{self.count} {event.key}")


async def key_to_paint(home: Path) -> dict[str, float]:
    """Return milliseconds from a key to the painted next question, saved; and the same for a bare app.

    A question is painted when its words stand in what the screen has drawn. Answers that lead to a page of cautions are
    not counted: there the person reads first.
    """
    ahead.TWICE = 0.0  # the same key again and again is meant here
    ours: list[float] = []
    bare: list[float] = []
    session = Session(load(), Journal.open(home / "measured.sqlite3"))
    session.add_engine(Engine("blue truggy", Variant()))
    for number in range(MOST_WALKS):
        if len(ours) >= PRESSES:
            break
        app = NeedlesLast(session, symptom=SYMPTOMS[number % len(SYMPTOMS)])
        gc.collect()  # a person's program holds one app, not the ones of all walks before
        settle_memory()
        async with app.run_test(size=(120, 36)) as pilot:
            await pilot.pause()
            for _ in range(25):
                known = session.walk
                taken = await _timed(pilot, _asked_first(session), await _key(pilot))
                grown = session.walk is not None and known is not None and len(session.walk.events) > len(known.events)
                if taken is not None and grown:
                    ours.append(taken)
                if session.walk is not None and session.walk.verdict():
                    break
        async with Bare().run_test(size=(120, 36)) as pilot:  # in turns: the machine is not always as quick
            await pilot.pause()
            for count in range(1, BARE_PRESSES + 1):
                taken = await _timed(pilot, lambda: f"{count} 1")  # noqa: B023 - called within the turn
                if taken is not None:
                    bare.append(taken)
    session.journal.close()
    return {
        "keys measured": len(ours),
        "key to paint, ours, p50 ms": statistics.median(ours),
        "key to paint, ours, p99 ms": statistics.quantiles(ours, n=100)[-1],
        "key to paint, bare, p50 ms": statistics.median(bare),
        "key to paint, bare, p99 ms": statistics.quantiles(bare, n=100)[-1],
    }


def _asked_first(session: Session) -> Callable[[], str]:
    """Return what the screen must show once another step than this is on it: the first words of its question."""
    before = session.walk.step(session.clock()) if session.walk else None

    def words() -> str:
        step = session.walk.step(session.clock()) if session.walk else None
        same = step is None or (before is not None and (step.kind, step.id) == (before.kind, before.id))
        return "" if same or step is None else step.ask[:24]

    return words


async def _key(pilot: Pilot[Any]) -> str:
    """Return the key that gives the first answer, or leaves a page of cautions."""
    page = pilot.app.screen
    if isinstance(page, Bench) and page.number_field() is not None:
        await pilot.press("down")
        return "enter"
    return "enter" if isinstance(page, Beware) else "1"


async def _timed(pilot: Pilot[Any], sought: Callable[[], str], key: str = "1") -> float | None:
    """Press a key; return the milliseconds until the first paint that shows what is sought, None when it never came."""
    app, display = pilot.app, pilot.app._display
    taken: list[float] = []

    def displayed(*shown: Any) -> None:
        display(*shown)
        now = time.perf_counter()
        if not taken and (words := sought()):
            drawn = "\n".join(strip.text for strip in app.screen._compositor.render_strips())
            if words in drawn:
                taken.append((now - before) * 1000)

    app._display = displayed  # type: ignore[method-assign]
    before = time.perf_counter()
    app.post_message(events.Key(key, key if len(key) == 1 else None))
    await asyncio.sleep(SETTLED)
    await pilot.pause()
    app._display = display  # type: ignore[method-assign]
    return taken[0] if taken else None
