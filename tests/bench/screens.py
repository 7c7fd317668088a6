"""How long the screens take: the first one, and from a key to the painted next question, beside a bare app."""

from __future__ import annotations

import statistics
import time
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
from diagnose.screens.app import NeedlesLast
from diagnose.session import Session

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
from diagnose.graph.load import load
from diagnose.record.journal import Journal, home
from diagnose.screens.app import NeedlesLast
from diagnose.session import Session, cache_dir
mounted = NeedlesLast.on_mount
def on_mount(self):
    mounted(self)
    self.call_after_refresh(self.exit)
NeedlesLast.on_mount = on_mount
with Journal.open(home() / "journal.sqlite3") as journal:
    NeedlesLast(Session(load(cache=cache_dir()), journal)).run(headless=True, size=(120, 36))
"""

PRESSES = 200


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
    """Return milliseconds from a key to the painted next question, saved; and the same for a bare app."""
    ours: list[float] = []
    bare: list[float] = []
    session = Session(load(), Journal.open(home / "measured.sqlite3"))
    session.add_engine(Engine("blue truggy", Variant()))
    number = 0
    while len(ours) < PRESSES:
        app = NeedlesLast(session, symptom=("revs-hang", "loads-up-at-idle", "cuts-on-the-straight")[number % 3])
        number += 1
        async with app.run_test(size=(120, 36)) as pilot:
            await pilot.pause()
            for _ in range(25):
                walk = session.walk
                before = len(walk.events) if walk else 0
                taken = await _timed(pilot, "1")
                if session.walk is None or session.walk.verdict() or len(ours) >= PRESSES:
                    break
                if len(session.walk.events) > before and before > 3:  # an answer was saved: not history, not a card
                    ours.append(taken)
    async with Bare().run_test(size=(120, 36)) as pilot:
        await pilot.pause()
        for _ in range(PRESSES):
            bare.append(await _timed(pilot, "1"))  # noqa: PERF401 - one after another is what is measured
    session.journal.close()
    return {
        "key to paint, ours, p50 ms": statistics.median(ours),
        "key to paint, ours, p99 ms": statistics.quantiles(ours, n=100)[-1],
        "key to paint, bare, p50 ms": statistics.median(bare),
        "key to paint, bare, p99 ms": statistics.quantiles(bare, n=100)[-1],
    }


async def _timed(pilot: Pilot[Any], key: str) -> float:
    """Return the milliseconds from the key until the last paint that it set off."""
    painted: list[float] = []
    app, display = pilot.app, pilot.app._display

    def displayed(*shown: Any) -> None:
        display(*shown)
        painted.append(time.perf_counter())

    app._display = displayed  # type: ignore[method-assign]
    before = time.perf_counter()
    await pilot.press(key)
    await pilot.pause()
    app._display = display  # type: ignore[method-assign]
    return (max(painted, default=time.perf_counter()) - before) * 1000
