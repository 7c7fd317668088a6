"""What each page of the tune bench looks like, at three sizes."""

from __future__ import annotations

import pytest
from screens.hands import SIZES, Make, press, seen
from screens.test_looks import THUMB, Go, keys
from screens.tuned import tuned
from syrupy.assertion import SnapshotAssertion

pytestmark = pytest.mark.slow

NEW: dict[str, Go] = {
    "needles-new": keys("h"),
    "setting-new": keys("h", "r"),
    "day-new": keys("d"),
    "well-new": keys("h", "w"),
}
TUNED: dict[str, Go] = {
    "needles": keys("h"),
    "needles-read-on": keys("h", "pagedown"),
    "setting": keys("h", "r", "enter", "down", "down", "enter"),
    "setting-refused": keys("h", "r", "enter", "enter", "x", "ctrl+s"),
    "turned": keys("h", "t"),
    "good": keys("h", "g"),
    "go-back": keys("h", "b"),
    "heat": keys("h", "i", "9", "5", "C", "ctrl+s"),
    "slope": keys("h", "s"),
    "day": keys("d"),
    "day-kept": keys("d", "ctrl+s"),
    "day-refused": keys("d", "x", "tab", "4", "ctrl+s"),
    "well-question": keys("h", "w", "enter"),
    "well-squeeze": keys("h", "w", "enter", "down", "enter"),
    "well-made": keys("h", "w", "enter", "3", "enter", "1", "7", "enter", *["down", "enter"] * 3),
    "well": keys("h", "w", "enter", "1", "enter", "1", "7", "enter", *["down", "enter"] * 3, "1", "w"),
}


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("name", [*NEW, *TUNED])
async def test_the_page_looks_as_before(
    make: Make, screenful: SnapshotAssertion, name: str, size: tuple[int, int]
) -> None:
    app = tuned(make()) if name in TUNED else make()
    async with app.run_test(size=size) as pilot:
        await (NEW | TUNED)[name](pilot)
        await pilot.app.workers.wait_for_complete()
        await press(pilot)
        assert THUMB.sub(" ", seen(pilot)) == screenful
