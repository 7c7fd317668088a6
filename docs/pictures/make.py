"""Draw the real screens on an invented engine, for the README: ``python docs/pictures/make.py``."""

from __future__ import annotations

import asyncio
import os
import tempfile
from pathlib import Path

os.environ["TEXTUAL_ANIMATIONS"] = "none"

from diagnose.graph.load import load
from diagnose.graph.model import Variant
from diagnose.reason import events as ev
from diagnose.record.engines import Engine
from diagnose.record.journal import Journal
from diagnose.screens.app import NeedlesLast
from diagnose.session import Session

HERE = Path(__file__).parent
NOON = 1_780_000_000.0


def session() -> Session:
    """Return the blue truggy's journal, in a folder that is thrown away, with the clock standing still."""
    made = Session(load(), Journal.open(Path(tempfile.mkdtemp()) / "journal.sqlite3"), clock=lambda: NOON)
    made.add_engine(Engine("blue truggy", Variant()))
    return made


async def draw(name: str, size: tuple[int, int], made: Session, *keys: str) -> None:
    """Press the keys, and save what is on the screen."""
    app = NeedlesLast(made, symptom="revs-hang" if keys else "", engine="blue truggy")
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        for key in keys:
            await pilot.press(key)
            await pilot.pause()
        (HERE / f"{name}.svg").write_text(app.export_screenshot(title="needles last"), "utf-8")


async def needle() -> None:
    """Draw the needle step: every look healthy, warm, and two signs of rich."""
    made = session()
    walk = made.start("loads-up-at-idle", made.engines()["blue truggy"])
    for question in ("changed", "onset", "running-in"):
        walk = made.record(ev.Told(NOON, question, "skipped"))
    while (step := walk.step(NOON)) is not None and step.kind != "adjust":
        said = "long climb" if step.id == "pinch-at-idle" else step.choices[0].id
        if step.kind == "ask" and step.id != "pinch-at-idle":
            said = made.knowledge.checks[step.id].healthy
        walk = made.record(walk.choose(step, said, NOON))
    app = NeedlesLast(made)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        await pilot.press("enter")  # go on with the open outing
        for _ in range(4):
            await pilot.pause()
            if type(app.screen).__name__ == "Beware":
                await pilot.press("1")
        (HERE / "needle.svg").write_text(app.export_screenshot(title="needles last"), "utf-8")


async def main() -> None:
    """Draw them all."""
    await draw("home", (100, 30), session())
    await draw("bench", (120, 36), session(), "1", "n", "1")
    await draw("bench-narrow", (44, 30), session(), "1", "n", "1")
    await draw("wrong", (80, 24), session(), "!")
    await needle()


if __name__ == "__main__":
    asyncio.run(main())
