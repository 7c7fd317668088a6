"""The shipped knowledge, read and proven once for all the tests of a process. No test may change it."""

from __future__ import annotations

from functools import cache

import pytest

from diagnose.graph.load import load as read_and_prove
from diagnose.graph.model import Knowledge


@cache
def load() -> Knowledge:
    return read_and_prove()


def proven_already(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the commands take the shipped knowledge as this process has it."""
    monkeypatch.setattr("diagnose.graph.load.load", lambda *_, **__: load())
