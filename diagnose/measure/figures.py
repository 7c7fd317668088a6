"""Shares and ratios with their intervals, from what many drives came to. Pure, and the same for the same seed."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt
from random import Random

from msgspec import Struct

Z = 1.959964
"""The normal quantile of a two-sided 95 % interval."""
RESAMPLES = 400


class Figure(Struct, frozen=True):
    """A number with its 95 % interval, and what it was counted over."""

    value: float
    low: float
    high: float
    over: int


def share(count: int, over: int) -> Figure:
    """Return a share with Wilson's score interval (Wilson, 1927; formula from memory); 0 over nothing."""
    if not over:
        return Figure(0.0, 0.0, 1.0, 0)
    p, z2 = count / over, Z * Z
    middle = (p + z2 / (2 * over)) / (1 + z2 / over)
    half = Z * sqrt(p * (1 - p) / over + z2 / (4 * over * over)) / (1 + z2 / over)
    return Figure(p, max(middle - half, 0.0), min(middle + half, 1.0), over)


def exact(value: float) -> Figure:
    """Return a number that has no interval."""
    return Figure(value, value, value, 1)


def mean(values: Sequence[float], seed: str) -> Figure:
    """Return a mean with a bootstrap interval (percentile)."""
    return ratio(values, [1.0] * len(values), seed)


def ratio(above: Sequence[float], below: Sequence[float], seed: str) -> Figure:
    """Return the ratio of two means, engine by engine, with a bootstrap interval (percentile)."""
    count = len(above)
    if not count:
        return Figure(0.0, 0.0, 0.0, 0)
    rng = Random(f"{seed} bootstrap")
    found = []
    for _ in range(RESAMPLES):
        drawn = rng.choices(range(count), k=count)
        found.append(_over(sum(above[i] for i in drawn), sum(below[i] for i in drawn)))
    found.sort()
    low, high = found[int(0.025 * RESAMPLES)], found[int(0.975 * RESAMPLES) - 1]
    return Figure(_over(sum(above), sum(below)), low, high, count)


def _over(above: float, below: float) -> float:
    return above / below if below else 0.0
