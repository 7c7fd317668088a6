"""How a screw moved over time."""

from __future__ import annotations

from typing import NamedTuple

from msgspec.structs import replace

from diagnose.graph.model import Screw
from diagnose.tune.needles import Good, Ledger, fold

NEWEST = 100
"""Entries that a line over time can show: more than a wide screen has room for."""


class Point(NamedTuple):
    """Where a screw stood after one entry of the ledger."""

    at: float
    hours: float
    """Outwards from the baseline."""
    good: bool
    """The entry marks a good tune."""


def points(ledger: Ledger, screw: Screw = "high needle", newest: int = NEWEST) -> tuple[Point, ...]:
    """Return how a screw moved over the newest entries, oldest first, in hours outwards from the baseline.

    Without a baseline they are from the first count among them. Entries after which it can't be compared with that are
    left out.
    """
    older, newer = ledger.entries[:-newest], ledger.entries[-newest:]
    stands = fold(older)
    start = ledger.baseline.settings.get(screw) if ledger.baseline else None
    found = []
    for entry in newer:
        stands = fold((entry,), replace(stands, entries=()))
        depth = stands.now.get(screw)
        start = start or depth
        hours = depth.since(start) if depth and start else None
        if hours is not None:
            found.append(Point(entry.at, hours, isinstance(entry, Good)))
    return tuple(found)
