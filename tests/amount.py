"""How much is tried of what could be tried for ever: little in the quick run, most before a release."""

from __future__ import annotations

import os

RUN = os.environ.get("NEEDLES_RUN", "")
"""`quick`, `long`, or nothing: what tests/run was told."""


def amount(usual: int, *, quick: int, long: int) -> int:
    """Return how often something is tried in this run."""
    return {"quick": quick, "long": long}.get(RUN, usual)
