"""Draw the real screens on an invented engine, for the README: ``python docs/pictures/make.py``."""

from __future__ import annotations

import asyncio
import os
import tempfile
from collections.abc import Callable
from pathlib import Path

os.environ["TEXTUAL_ANIMATIONS"] = "none"

from diagnose.graph.load import load
from diagnose.graph.model import Screw, Variant, Way
from diagnose.reason import events as ev
from diagnose.record.engines import Engine
from diagnose.record.journal import Journal
from diagnose.screens.app import NeedlesLast
from diagnose.screens.bench import Bench
from diagnose.tune.air import Air
from diagnose.tune.fuel import Blend
from diagnose.tune.needles import Baseline, Good, LedgerEntry, TriedResult, Turned, closed
from diagnose.workshop.session import READY, Session

HERE = Path(__file__).parent
NOON = 1_780_000_000.0
DAY = 86_400.0
KEYS = {"Asked": "1", "Beware": "enter", "Ready": "1"}
"""What leads on to the step, by the page that comes before it."""
RICH = {"pinch-at-idle": "long climb", "idle-then-punch": "gurgle"}
"""The answers that are two signs of a rich low needle."""


def session() -> Session:
    """Return the blue truggy's journal, in a folder that is thrown away, with the clock standing still."""
    made = Session(load(), Journal.open(Path(tempfile.mkdtemp()) / "journal.sqlite3"), clock=lambda: NOON)
    made.add_engine(Engine("blue truggy", Variant()))
    return made


async def draw(name: str, size: tuple[int, int], made: Session, *keys: str, symptom: str = "revs-hang") -> None:
    """Press the keys, and save what is on the screen."""
    app = NeedlesLast(made, symptom=symptom if keys else "", engine="blue truggy")
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        for key in keys:
            await pilot.press(key)
            await pilot.pause()
        (HERE / f"{name}.svg").write_text(app.export_screenshot(title="needles last"), "utf-8")


def tuned() -> Session:
    """Return the truggy after three weeks: a good tune of a mild day, and today a hot one with the same fuel."""
    made = session()
    fuel = Blend(0.25, 0.12)

    def write(days: float, entry: Callable[[float], LedgerEntry]) -> None:
        made.clock = lambda: NOON - days * DAY
        made.write("blue truggy", entry(made.clock()))

    def needle(
        screw: Screw, way: Way, hours: float, reason: str, result: TriedResult
    ) -> Callable[[float], LedgerEntry]:
        return lambda at: Turned(at, screw, way, hours, reason=reason, result=result)

    start: dict[Screw, float] = {"low needle": 14, "mid needle": 20, "high needle": 38, "idle stop": 6}
    stands = {screw: closed(hours) for screw, hours in start.items()}
    write(21, lambda at: Baseline(at, stands, reason="after running in"))
    write(20.9, needle("high needle", "leaner", 1, "much smoke", "better"))
    write(20.8, needle("high needle", "leaner", 1, "much smoke", "better"))
    write(20.7, needle("high needle", "richer", 1, "hotter", "better"))
    write(3, needle("high needle", "leaner", 0.5, "slow to pull", "better"))
    made.note_day(Air(18, 101_200, 0.6), fuel)
    write(2.99, lambda at: Good(at, made.conditions("blue truggy"), "medium"))
    write(0.1, needle("low needle", "leaner", 1, "loads up", "better"))
    write(0.05, needle("high needle", "leaner", 1, "flat on the straight", "same"))
    made.clock = lambda: NOON
    made.note_day(Air(31, 100_400, 0.55), fuel)
    return made


async def needle() -> None:
    """Draw the needle step: every look healthy, warm, and two signs of rich."""
    made = session()
    walk = made.start("loads-up-at-idle", made.engines()["blue truggy"])
    while history := walk.history():
        walk = made.record(ev.Told(NOON, history[0][0], ev.SKIPPED))
    while (step := walk.step(NOON)) is not None and step.kind != "adjust":
        said = RICH.get(step.id, step.choices[0].id)
        if step.kind == "ask" and step.id not in RICH:
            said = made.knowledge.checks[step.id].healthy
        made.has_readied(*READY)
        walk = made.record(walk.choose(step, said, NOON))
    if step is None:
        raise SystemExit(f"no needle is turned in this walk: {walk.view(NOON).verdict}")
    app = NeedlesLast(made)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.pause()
        await pilot.press("enter")  # go on with the open outing
        for _ in range(8):
            await pilot.pause(0.4)  # a key that comes before the page is painted answers nothing
            if (page := type(app.screen).__name__) in KEYS:
                await pilot.press(KEYS[page])
        if not isinstance(app.screen, Bench):
            raise SystemExit(f"the needle step is behind a page: {type(app.screen).__name__}")
        (HERE / "needle.svg").write_text(app.export_screenshot(title="needles last"), "utf-8")


async def main() -> None:
    """Draw them all."""
    await draw("home", (100, 30), session())
    await draw("bench", (120, 36), session(), "enter", "n", "1")
    await draw("bench-narrow", (44, 30), session(), "enter", "n", "1")
    await draw("wrong", (80, 24), session(), "!")
    await needle()
    await draw("needles", (120, 44), tuned(), "h", symptom="")
    await draw("day", (100, 52), tuned(), "d", symptom="")


if __name__ == "__main__":
    asyncio.run(main())
