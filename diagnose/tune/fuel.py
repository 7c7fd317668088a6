"""Blends of methanol, nitromethane and oil by volume, and the needle area that one asks for against another."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

METHANOL, NITROMETHANE, OIL = 791.0, 1137.5, 961.0
"""Densities at 20 °C, kg/m³."""
METHANOL_AIR, NITROMETHANE_AIR, OIL_AIR = 6.474, 1.699, 11.63
"""Kilograms of air for a kilogram, if the oil burns at all."""


@dataclass(frozen=True)
class Blend:
    """Volume fractions, 0 to 1; the rest is methanol."""

    nitro: float
    oil: float


def density(blend: Blend) -> float:
    """Return kg/m³, ideal mixing assumed."""
    return (1 - blend.nitro - blend.oil) * METHANOL + blend.nitro * NITROMETHANE + blend.oil * OIL


def air_demand(blend: Blend, burnt: float) -> float:
    """Return kilograms of air for a cubic metre; `burnt` is the share of the oil that burns, 0 to 1."""
    methanol = (1 - blend.nitro - blend.oil) * METHANOL * METHANOL_AIR
    return methanol + blend.nitro * NITROMETHANE * NITROMETHANE_AIR + burnt * blend.oil * OIL * OIL_AIR


def volume_ratio(new: Blend, old: Blend) -> tuple[float, float]:
    """Return the volume of fuel that `new` needs against `old`: the smaller and the larger estimate."""
    ratios = [air_demand(old, burnt) / air_demand(new, burnt) for burnt in (0.0, 1.0)]
    return min(ratios), max(ratios)


def area_ratio(new: Blend, old: Blend) -> tuple[float, float]:
    """Return the needle area that `new` needs against `old`: the smaller and the larger estimate."""
    smaller, larger = volume_ratio(new, old)
    heavier = sqrt(density(new) / density(old))
    return smaller * heavier, larger * heavier
