"""What the pages of the practice bench look like, at three sizes."""

from __future__ import annotations

from collections.abc import Awaitable, Callable

import pytest
from screens.hands import SIZES, Hand, Make, app, faint, press, seen
from screens.test_looks import THUMB
from syrupy.assertion import SnapshotAssertion

from diagnose.graph.model import Knowledge
from diagnose.practice import happenings as hp
from diagnose.practice import setting
from diagnose.practice.table import Seat
from diagnose.screens.practising import Practising

pytestmark = pytest.mark.slow

Go = Callable[[Hand], Awaitable[None]]


def practising(pilot: Hand) -> Practising:
    flow = app(pilot).flow("practise")
    assert isinstance(flow, Practising)
    return flow


async def sit(pilot: Hand, name: str = "kim", lesson: str = "follow-the-fuel") -> None:
    """Seat a learner at a lesson."""
    known = app(pilot).session.knowledge
    practising(pilot).seat(name, lambda _: setting.from_lesson(known, lesson))
    await pilot.pause()


async def done(pilot: Hand, *events: hp.PracticeEvent) -> None:
    """Let things happen."""
    for event in events:
        assert practising(pilot).happened(event)
    practising(pilot).show()
    await pilot.pause()


def bench(*keys: str, events: tuple[hp.PracticeEvent, ...] = ()) -> Go:
    async def go(pilot: Hand) -> None:
        await sit(pilot)
        await done(pilot, *events)
        await press(pilot, *keys)

    return go


async def table(pilot: Hand) -> None:
    await sit(pilot, "kim")
    await sit(pilot, "ana", "it-runs-hot")
    app(pilot).at.table = app(pilot).at.table.joined(Seat(engine="blue truggy"))
    await press(pilot, "r")
    practising(pilot).show()
    await pilot.pause()


SEEN = (hp.Looked("barrel-at-rest"), hp.Looked("fail-safe-closes"), hp.Looked("hold-and-stream", "steady"))
CURED = (*SEEN, hp.MendedPart("fuel-filter-blocked"), hp.Tried())

PAGES: dict[str, Go] = {
    "start": bench("escape", "f6", "a"),
    "nickname": bench("a", "enter"),
    "bench": bench(),
    "bench-after-looks": bench(events=SEEN[:2]),
    "bench-early": bench(events=(hp.TurnedScrew("high needle", 1), hp.Ran())),
    "expect": bench("enter"),
    "search": bench("slash", "slash", "f", "i", "l"),
    "mend": bench("m"),
    "turn": bench("t"),
    "hint": bench("h", "enter"),
    "give-up": bench("g"),
    "debrief": bench("1", events=(hp.Ran(), hp.MendedPart("plug-tired"), hp.GaveUp())),
    "table": table,
}


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("name", PAGES)
async def test_the_page_looks_as_before(
    make: Make, shipped: Knowledge, screenful: SnapshotAssertion, name: str, size: tuple[int, int]
) -> None:
    async with make(knowledge=shipped).run_test(size=size) as pilot:
        await PAGES[name](pilot)
        await pilot.pause()
        assert THUMB.sub(" ", seen(pilot)) == screenful
        assert await faint(pilot) == []  # WCAG 2.2, 1.4.3
