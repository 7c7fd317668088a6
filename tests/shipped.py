"""The shipped knowledge, read and proven once for all the tests of a process. No test may change it."""

from __future__ import annotations

from functools import cache

from diagnose.graph import load as loader
from diagnose.graph.model import Knowledge


@cache
def load() -> Knowledge:
    return loader.load()
