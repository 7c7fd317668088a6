"""Moist air by CIPM-2007 (Picard et al., Metrologia 45, 2008, 149-155)."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp

GAS = 8.314472
"""J/(mol K)."""
DRY_AIR = 28.96546e-3
WATER = 18.01528e-3
"""kg/mol; dry air with 0.0400 % of carbon dioxide."""


@dataclass(frozen=True)
class Air:
    """A state of the air: °C, Pa (station pressure), relative humidity 0 to 1."""

    temperature: float
    pressure: float
    humidity: float


def density(air: Air) -> float:
    """Return the density of moist air in kg/m³."""
    wet, dry = _vapour(air), DRY_AIR * air.pressure / (_compressibility(air) * GAS * _kelvin(air))
    return dry * (1 - wet * (1 - WATER / DRY_AIR))


def dry_density(air: Air) -> float:
    """Return the kilograms of dry air in a cubic metre of moist air."""
    return air.pressure * (1 - _vapour(air)) * DRY_AIR / (_compressibility(air) * GAS * _kelvin(air))


def _kelvin(air: Air) -> float:
    return air.temperature + 273.15


def _vapour(air: Air) -> float:
    """Return the mole fraction of water vapour."""
    t = _kelvin(air)
    saturated = exp(1.2378847e-5 * t * t - 1.9121316e-2 * t + 33.93711047 - 6.3431645e3 / t)
    enhancement = 1.00062 + 3.14e-8 * air.pressure + 5.6e-7 * air.temperature**2
    return air.humidity * enhancement * saturated / air.pressure


def _compressibility(air: Air) -> float:
    t, wet, over = air.temperature, _vapour(air), air.pressure / _kelvin(air)
    first = 1.58123e-6 - 2.9331e-8 * t + 1.1043e-10 * t * t
    first += (5.707e-6 - 2.051e-8 * t) * wet + (1.9898e-4 - 2.376e-6 * t) * wet * wet
    return 1 - over * first + over * over * (1.83e-11 - 0.765e-8 * wet * wet)
