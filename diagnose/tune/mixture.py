"""What another day's air and another fuel ask of a needle: the area it needs, and that area in hours.

How the fuel is fed decides how the needle must follow the air. Two ideal feeds bound what is built, both derived for
this project, since no measurement of an exhaust-fed tank was found:

- suction, vented tank: the venturi draws fuel as √(ρ air · ρ fuel) · v, so with the oxygen A ∝ ρ_dry / √ρ;
- pressurised by the exhaust: the tank's pressure goes with (air mass)² · T_exhaust / p, so A ∝ √p · ρ_dry / ρ.

A tank fed by both, or an exhaust that follows the air's temperature, lies between them. Only a tank at constant
pressure would follow ρ_dry itself, so an exponent of 1 is nowhere assumed.
"""

from __future__ import annotations

from math import isfinite, prod, sqrt
from typing import Literal, NamedTuple

from msgspec import Struct

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Screw
from diagnose.tune import air as moist
from diagnose.tune import fuel as fuels
from diagnose.tune.air import Air
from diagnose.tune.fuel import Blend

Feed = Literal["suction", "pressurised"]
FEEDS: tuple[Feed, ...] = ("suction", "pressurised")

PER_TURN = 12
"""Hours in a turn."""

LATEST_FLOW = 6.0
"""Hours out from gently closed at which fuel begins to flow at the latest, where nobody has measured it. A judgement:
an offset that is left out makes every figure too large."""

USUAL_TURNS: dict[Screw, tuple[float, float]] = {"high needle": (2.0, 4.5), "low needle": (0.5, 2.0)}
"""Turns past the start of the flow, for a needle that nobody counted. Common practice, no source; widely put."""


class Span(NamedTuple):
    """The smallest and the largest of what something may be."""

    low: float
    high: float


class Conditions(Struct, frozen=True, omit_defaults=True):
    """The day and the fuel that a tune belongs to. What nobody noted is None. `head`: on arrival, °C."""

    air: Air | None = None
    fuel: Blend | None = None
    head: float | None = None

    def __post_init__(self) -> None:
        if self.head is not None and not -40 <= self.head <= 300:
            raise DiagnoseError("a head temperature lies between -40 and 300 °C (-40 and 572 °F)")


class NeedleOpening(Struct, frozen=True):
    """How far a needle stands open past the start of the flow (N − N0), in turns, and what was assumed for it."""

    least: float
    most: float
    assumed: str


class Cause(Struct, frozen=True):
    """One cause of a shift: for each feed, the needle area needed now over the area needed then."""

    name: Literal["air", "fuel"]
    area: dict[Feed, Span]


class Shift(Struct, frozen=True):
    """What changed between two conditions. `unknown` names what can't be told, since one of the two is not known."""

    causes: tuple[Cause, ...]
    unknown: tuple[Literal["air", "fuel"], ...] = ()

    def area(self, feeds: tuple[Feed, ...] = FEEDS, only: str = "") -> Span:
        """Return the area needed now over the area needed then: of every known cause, or of one."""
        causes = [cause for cause in self.causes if only in ("", cause.name)]
        lows = [prod(cause.area[feed].low for cause in causes) for feed in feeds]
        highs = [prod(cause.area[feed].high for cause in causes) for feed in feeds]
        return Span(min(lows), max(highs))

    def percent(self, only: str = "") -> Span:
        """Return by how many per cent more fuel is asked for (less is negative): of every known cause, or of one."""
        area = self.area(only=only)
        return Span(100 * (area.low - 1), 100 * (area.high - 1))

    def hours(self, at: NeedleOpening, feeds: tuple[Feed, ...] = FEEDS, only: str = "") -> Span:
        """Return by how many hours the needle must follow; richer is positive.

        The area is taken as proportional to the opening, which holds near where a needle stands: one hour at three
        turns is 1/36, or 2.8 % (2.5 % by the cone's geometry).
        """
        area = self.area(feeds, only)
        corners = [PER_TURN * turns * (ratio - 1) for turns in (at.least, at.most) for ratio in area]
        return Span(min(corners), max(corners))


def suction(new: Air, old: Air) -> float:
    """Return the needle area that `new` air needs over that of `old`, fed by suction: ρ_dry / √ρ."""
    dry, whole = _densities(new, old)
    return dry / sqrt(whole)


def pressurised(new: Air, old: Air) -> float:
    """Return the needle area that `new` air needs over that of `old`, fed by the exhaust's pressure: √p · ρ_dry / ρ.

    The exhaust is taken to be as hot as before. If it follows the air, the answer moves towards `suction`.
    """
    dry, whole = _densities(new, old)
    return dry / whole * sqrt(new.pressure / old.pressure)


def _densities(new: Air, old: Air) -> tuple[float, float]:
    """Return the ratios of the dry and of the whole density; raises `DiagnoseError` for air that can't be."""
    try:
        dry, whole = (measure(new) / measure(old) for measure in (moist.dry_density, moist.density))
        possible = new.pressure > 0 and _positive(dry, whole)
    except ArithmeticError:
        possible = False
    if not possible:
        raise DiagnoseError("the air's temperature, pressure and humidity don't give a density; type them again")
    return dry, whole


def _positive(*values: float) -> bool:
    return all(isfinite(value) and value > 0 for value in values)


def shift(new: Conditions, old: Conditions) -> Shift:
    """Return what the air and the fuel ask of the needles now, against then."""
    causes: list[Cause] = []
    unknown: list[Literal["air", "fuel"]] = []
    if new.air is None or old.air is None:
        unknown.append("air")
    else:
        drawn, pressed = suction(new.air, old.air), pressurised(new.air, old.air)
        causes.append(Cause("air", {"suction": Span(drawn, drawn), "pressurised": Span(pressed, pressed)}))
    if new.fuel is None or old.fuel is None:
        unknown.append("fuel")
    else:
        causes.append(Cause("fuel", dict.fromkeys(FEEDS, _areas(new.fuel, old.fuel))))
    return Shift(tuple(causes), tuple(unknown))


def _areas(new: Blend, old: Blend) -> Span:
    """Return the needle area that `new` needs over that of `old`; raises `DiagnoseError` for what is no fuel."""
    try:
        ratios = fuels.area_ratio(new, old)
        possible = _positive(*ratios)
    except (ArithmeticError, ValueError):
        possible = False
    if not possible:
        raise DiagnoseError("the fuel's nitro and oil don't give a blend that burns; read the label again")
    return Span(min(ratios), max(ratios))


def opening(hours: float | None, screw: Screw = "high needle", offset: float | None = None) -> NeedleOpening:
    """Return how far a needle stands open; `hours` out from gently closed, None when nobody counted.

    `offset` is the hours at which fuel begins to flow, if this engine's is known. Raises `DiagnoseError` when no
    engine could run so.
    """
    if hours is None:
        least, most = USUAL_TURNS[screw]
        usual = f"Nobody has counted the {screw}: {least:g} to {most:g} turns past where fuel flows are assumed."
        return NeedleOpening(least, most, usual)
    if not (isfinite(hours) and hours > 0):
        raise DiagnoseError(f"an engine that ran has its {screw} open: more than 0 hours out from gently closed")
    if offset is None:
        latest = f"{LATEST_FLOW:g} hours out"
        assumed = f"Where fuel begins to flow is not known: between gently closed and {latest} is assumed."
        return NeedleOpening(max(hours - LATEST_FLOW, 0.0) / PER_TURN, hours / PER_TURN, assumed)
    if not (isfinite(offset) and 0 <= offset < hours):
        raise DiagnoseError(f"fuel begins to flow between gently closed and where the {screw} stands ({hours:g} hours)")
    effective = (hours - offset) / PER_TURN
    return NeedleOpening(effective, effective, f"Fuel begins to flow {offset:g} hours out from gently closed.")
