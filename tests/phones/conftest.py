"""Where no browser is, what needs one is left out; `.ci/axe` says so."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from phones.at_the_door import WIDE, Served, serving
from phones.hands import AXE, CHROMIUM

from diagnose.pages.parts import Paragraph

collect_ignore = [
    *(
        []
        if CHROMIUM.exists()
        else ["test_browser.py", "test_barriers.py", "test_class_browser.py", "test_mate_browser.py"]
    ),
    *([] if AXE.exists() else ["test_barriers.py"]),
]


@pytest.fixture(scope="module")
def served() -> Iterator[Served]:
    """A server with a car put up, that lets everybody send much."""
    with serving(limits=WIDE, cars={"blue truggy": (Paragraph("Its needles stand well."),)}) as one:
        yield one
