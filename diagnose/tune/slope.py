"""The engine's own slope: how its needle has followed the air, learned from its logged good tunes.

With one engine, one fuel and one plug the effective opening goes as a power n of the air's density: ln(N − N0) is
regressed on ln(density). Physics expects n near a half (0 to 1 in all), which is the prior N(0.5, 0.25²) that the log
must outweigh. The line is Theil's and Sen's median of pairwise slopes, with Sen's interval (P. K. Sen, Estimates of the
regression coefficient based on Kendall's tau, Journal of the American Statistical Association 63, 1968), so one bad
entry can't bend it. An entry that lies far off that line is left out, and named, before the rest is weighed.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import combinations, compress
from math import exp, inf, isfinite, log, sqrt
from statistics import NormalDist, fmean, median
from typing import NamedTuple

from msgspec import Struct

from diagnose.errors import DiagnoseError
from diagnose.graph.wording import capital
from diagnose.tune.air import dry_density
from diagnose.tune.fuel import Blend
from diagnose.tune.mixture import PER_TURN
from diagnose.tune.needles import Good, LedgerEntry, steps

PRIOR, PRIOR_ERROR = 0.5, 0.25

SETTING_ERROR = 0.015
"""How well a hand finds a good tune, as a share of the opening: about half an hour in three turns. A judgement."""

FAR_OFF = 3.0
"""Robust standard deviations from the line at which an entry is left out. A judgement."""

TO_DEVIATION = 1.4826
"""The median of absolute deviations, times this, estimates a normal standard deviation."""

CONFIDENCE = 0.95


class Logged(Struct, frozen=True):
    """One good tune: the air's density in kg/m³ (dry, since that carries the oxygen), and N − N0 in turns."""

    at: float
    density: float
    turns: float

    def __post_init__(self) -> None:
        if not all(isfinite(value) and value > 0 for value in (self.density, self.turns)):
            raise DiagnoseError("a logged tune has a density and an opening, both more than 0")


class FittedLine(NamedTuple):
    """A robust line, and the interval of its slope; infinite when there are too few points for one."""

    slope: float
    intercept: float
    low: float
    high: float


class Slope(Struct, frozen=True):
    """The engine's own exponent n, shrunk towards what physics expects, and what the log alone says."""

    value: float
    error: float
    """One standard deviation."""
    low: float
    high: float
    """The 95 % interval."""
    alone: tuple[float, float]
    """Sen's 95 % interval from the log alone."""
    enough: bool
    """True once the log alone fixes the sign: the needle opens as the air gets denser."""
    left_out: tuple[Logged, ...]
    said: str
    level: float | None
    """ln(N − N0) where ln(density) is 0; None for an empty log."""

    def turns(self, density: float) -> float | None:
        """Return the opening N − N0 that the line expects at a density in kg/m³, in turns; None for an empty log."""
        return None if self.level is None else exp(self.level + self.value * log(density))


def logged(entries: Iterable[LedgerEntry], offset: float = 0.0) -> tuple[Logged, ...]:
    """Return the good tunes of a ledger that share the newest one's fuel and plug, oldest first.

    Only those whose air and fuel are known and whose high needle was counted from closed. `offset`: hours out at which
    fuel begins to flow, taken as 0 where nobody has measured it; an error of it scales the slope.
    """
    found: list[tuple[tuple[Blend, str], Logged]] = []
    for entry, stands in steps(entries):
        depth = stands.get("high needle")
        if not isinstance(entry, Good) or depth is None or depth.kind != "closed" or depth.hours <= offset:
            continue
        if entry.conditions.air is not None and entry.conditions.fuel is not None:
            turns = (depth.hours - offset) / PER_TURN
            tune = Logged(entry.at, dry_density(entry.conditions.air), turns)
            found.append(((entry.conditions.fuel, entry.plug), tune))
    return tuple(tune for like, tune in found if like == found[-1][0])


def theil_sen(xs: Sequence[float], ys: Sequence[float], confidence: float = CONFIDENCE) -> FittedLine:
    """Return the median of pairwise slopes, the median intercept, and Sen's interval for the slope.

    Raises `DiagnoseError` when no two `xs` differ.
    """
    points = list(zip(xs, ys, strict=True))
    slopes = sorted((y2 - y1) / (x2 - x1) for (x1, y1), (x2, y2) in combinations(points, 2) if x1 != x2)
    if not slopes:
        raise DiagnoseError("a slope needs tunes from at least two different days")
    slope = median(slopes)
    variance = _kendall(len(points)) - sum(_kendall(k) for values in (xs, ys) for k in Counter(values).values())
    spread = NormalDist().inv_cdf((1 + confidence) / 2) * sqrt(max(variance, 0.0))
    first, last = round((len(slopes) - spread) / 2) - 1, round((len(slopes) + spread) / 2)
    low = slopes[first] if first >= 0 else -inf
    high = slopes[last] if last < len(slopes) else inf
    return FittedLine(slope, median(y - slope * x for x, y in points), low, high)


def _kendall(count: int) -> float:
    """Return the variance of Kendall's score for so many untied values."""
    return count * (count - 1) * (2 * count + 5) / 18


def least_squares(xs: Sequence[float], ys: Sequence[float], deviation: float) -> tuple[float, float]:
    """Return the slope and its standard error, for points that scatter by a known `deviation`."""
    middle = fmean(xs)
    square = sum((x - middle) ** 2 for x in xs)
    if not square:
        raise DiagnoseError("a slope needs tunes from at least two different days")
    return sum((x - middle) * y for x, y in zip(xs, ys, strict=True)) / square, deviation / sqrt(square)


def shrunk(slope: float, error: float) -> tuple[float, float]:
    """Return the posterior mean and standard deviation under the prior: two normals multiplied."""
    weight, before = error**-2, PRIOR_ERROR**-2
    return (weight * slope + before * PRIOR) / (weight + before), (weight + before) ** -0.5


def learn(tunes: Sequence[Logged]) -> Slope:
    """Return the engine's own slope from its logged good tunes, and whether there are enough of them yet."""
    xs, ys = [log(tune.density) for tune in tunes], [log(tune.turns) for tune in tunes]
    left_out: tuple[Logged, ...] = ()
    alone, deviation = (-inf, inf), SETTING_ERROR
    if len(set(xs)) > 1:
        line = theil_sen(xs, ys)
        off = [abs(y - line.intercept - line.slope * x) for x, y in zip(xs, ys, strict=True)]
        deviation = max(SETTING_ERROR, TO_DEVIATION * median(off))
        kept = [distance <= FAR_OFF * deviation for distance in off]
        left_out = tuple(tune for tune, keep in zip(tunes, kept, strict=True) if not keep)
        xs, ys = list(compress(xs, kept)), list(compress(ys, kept))
        alone = line.low, line.high
    value, error = shrunk(*least_squares(xs, ys, deviation)) if len(set(xs)) > 1 else (PRIOR, PRIOR_ERROR)
    level = fmean(y - value * x for x, y in zip(xs, ys, strict=True)) if xs else None
    reach = NormalDist().inv_cdf((1 + CONFIDENCE) / 2) * error
    low, high = value - reach, value + reach
    opens = f"air 10 % denser opens this needle by {100 * (1.1**value - 1):.0f} %"
    said = _said(len(tunes), alone, f"{opens} (n is {value:.2f}, {low:.2f} to {high:.2f})")
    if left_out:
        said += " One entry lies far off and is left out." if len(left_out) == 1 else f" {len(left_out)} are left out."
    return Slope(value, error, low, high, alone, alone[0] > 0, left_out, said, level)


def _said(count: int, alone: tuple[float, float], found: str) -> str:
    """Say what a log of so many tunes comes to, or why it does not come to anything yet."""
    tunes = "one good tune" if count == 1 else f"{count} good tunes"
    low, high = alone
    if low > 0:
        return f"From {tunes}: {found}."
    if high < 0:
        return f"{capital(tunes)} say that it wanted less fuel in denser air. Something else changed with the air."
    if isfinite(low) and isfinite(high):
        where = f"from {low:.1f} to {high:.1f}"
        return f"Not enough yet: {tunes} alone leave n anywhere {where}, which does not even fix its sign."
    return f"Not enough yet: {tunes} can't fix even the sign of n. It takes five at the least, on different days."
