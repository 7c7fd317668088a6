"""What a question presumes of the engine, and what a complaint excludes: how far it comes, and whether it gets hot."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

Presumption = Literal["turns", "catches", "runs", "idles", "drives", "hot"]
"""It turns over; runs with the igniter on; by itself for a while; for as long as one likes; on the ground; at heat."""

FURTHER: tuple[Presumption, ...] = ("turns", "catches", "runs", "idles", "drives")
"""Each further than the one before: who can't do one can't do those after it."""

BY_STATE: dict[str, tuple[Presumption, ...]] = {
    "running on the stand": ("runs",),
    "warm": ("idles", "hot"),
    "on the track": ("drives",),
}
"""What a look presumes by the bench state that it is made in."""


def shut_out(excluded: Iterable[Presumption]) -> frozenset[Presumption]:
    """Return all that is out of the question where these are: what goes further, and heat where it does not idle."""
    found = set(excluded)
    nearest = min((FURTHER.index(one) for one in found if one in FURTHER), default=len(FURTHER))
    found.update(FURTHER[nearest:])
    return frozenset(found | {"hot"} if "idles" in found else found)
