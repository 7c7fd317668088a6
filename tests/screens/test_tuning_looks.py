"""What each page of the tune bench looks like, at three sizes."""

from __future__ import annotations

import pytest
from screens.hands import SIZES, Make, faint, press, seen
from screens.test_looks import THUMB, Go, keys
from screens.tuned import tuned
from syrupy.assertion import SnapshotAssertion

pytestmark = pytest.mark.slow

NEW: dict[str, Go] = {
    "needles-new": keys("f3"),
    "setting-new": keys("f3", "r"),
    "day-new": keys("f4"),
    "well-new": keys("f3", "w"),
}
TUNED: dict[str, Go] = {
    "needles": keys("f3"),
    "needles-read-on": keys("f3", "pagedown"),
    "setting": keys("f3", "r", "enter", "down", "down", "enter"),
    "setting-refused": keys("f3", "r", "enter", "enter", "x", "ctrl+s"),
    "turned": keys("f3", "t"),
    "good": keys("f3", "g"),
    "go-back": keys("f3", "b"),
    "heat": keys("f3", "i", "9", "5", "C", "ctrl+s"),
    "slope": keys("f3", "s"),
    "day": keys("f4"),
    "day-kept": keys("f4", "ctrl+s"),
    "day-refused": keys("f4", "x", "tab", "4", "ctrl+s"),
    "well-question": keys("f3", "w", "enter"),
    "well-squeeze": keys("f3", "w", "enter", "down", "enter"),
    "well-made": keys("f3", "w", "enter", "3", "enter", "1", "7", "enter", *["down", "enter"] * 3),
    "well": keys("f3", "w", "enter", "1", "enter", "1", "7", "enter", *["down", "enter"] * 3, "1", "w"),
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
        assert await faint(pilot) == []  # WCAG 2.2, 1.4.3
