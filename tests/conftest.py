"""What every test stands on."""

from __future__ import annotations

import os
import time

os.environ.update(TEXTUAL_ANIMATIONS="none", TEXTUAL_FPS="500")  # read once, when the first test imports textual

from collections.abc import Iterator

import pytest


@pytest.fixture(autouse=True)
def _utc(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """The same time zone everywhere."""
    monkeypatch.setenv("TZ", "UTC")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()
