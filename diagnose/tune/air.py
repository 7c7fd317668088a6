"""The day's air: its density, the dry part that burns fuel, and the height where a standard day has the same air.

Density by CIPM-2007: Picard, Davis, Gläser and Fujii, "Revised formula for the density of moist air (CIPM-2007)",
Metrologia 45 (2008) 149-155. The authors give it for 600 to 1100 hPa and 15 to 27 °C; outside those temperatures it
stays within 50 parts per million of CoolProp's humid air from 0 to 40 °C (tests/tune/test_air.py).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp

ZERO = 273.15
"""0 °C in kelvin."""

_GAS = 8.314472  # J/(mol K), as CIPM-2007 has it
_DRY = 28.96546e-3  # kg/mol, dry air with 0.0004 of carbon dioxide
_WATER = 18.01528e-3  # kg/mol

PRESSURES = (60_000.0, 110_000.0)
"""Pa: where the equation holds, which is every place below about 4000 m."""
TEMPERATURES = (15.0, 27.0)
"""°C: where its authors answer for its last digits."""
LIVED_IN = (-40.0, 55.0)
"""°C: colder or hotter than this nobody runs a car; a larger number is °F. A judgement."""
AT_SEA_LEVEL = (93_000.0, 105_000.0)
"""Pa: sea-level pressure on a day when cars run. Storms and deep winter go further. A judgement."""
ELEVATIONS = (-430.0, 4200.0)
"""m: from the lowest shore to where 600 hPa is left."""

# The standard atmosphere below 11 km (ISO 2533, ICAO Doc 7488): constants from memory, they reproduce its tables.
_T0, _P0, _RHO0 = 288.15, 101_325.0, 1.2250  # K, Pa, kg/m3
_LAPSE = 6.5e-3  # K/m
_POWER = 9.80665 * 28.9644e-3 / (8.31432 * _LAPSE)  # 5.25588


@dataclass(frozen=True, slots=True)
class Air:
    """The air at the track."""

    temperature: float
    """°C."""
    pressure: float
    """Pa, at the station: what a barometer at the track shows, not the sea-level figure."""
    humidity: float
    """Relative humidity, 0 to 1."""


def vapour_share(air: Air) -> float:
    """Return the mole fraction of water vapour in the air (CIPM-2007)."""
    t = air.temperature
    kelvin = t + ZERO
    saturated = exp(1.2378847e-5 * kelvin**2 - 1.9121316e-2 * kelvin + 33.93711047 - 6.3431645e3 / kelvin)  # Pa
    enhancement = 1.00062 + 3.14e-8 * air.pressure + 5.6e-7 * t**2
    return air.humidity * enhancement * saturated / air.pressure


def density(air: Air) -> float:
    """Return the density of moist air, kg/m3 (CIPM-2007)."""
    vapour = vapour_share(air)
    return _moles(air, vapour) * (_DRY * (1 - vapour) + _WATER * vapour)


def dry_density(air: Air) -> float:
    """Return the kilograms of dry air in a cubic metre, without the water vapour: what burns fuel. kg/m3."""
    vapour = vapour_share(air)
    return _moles(air, vapour) * _DRY * (1 - vapour)


def _moles(air: Air, vapour: float) -> float:
    """Return mol/m3, with the compressibility of CIPM-2007."""
    t = air.temperature
    kelvin = t + ZERO
    ratio = air.pressure / kelvin
    first = 1.58123e-6 - 2.9331e-8 * t + 1.1043e-10 * t**2
    first += (5.707e-6 - 2.051e-8 * t) * vapour + (1.9898e-4 - 2.376e-6 * t) * vapour**2
    compressibility = 1 - ratio * first + ratio**2 * (1.83e-11 - 0.765e-8 * vapour**2)
    return ratio / (compressibility * _GAS)


def density_altitude(rho: float) -> float:
    """Return the geopotential height in m where the standard atmosphere has density `rho`, kg/m3.

    The standard's own layer below 11 km, solved for height: 44330.77 · (1 - (rho/1.2250)^0.234969).
    """
    return float(_T0 / _LAPSE * (1 - (rho / _RHO0) ** (1 / (_POWER - 1))))


def station_pressure(sea_level: float, elevation: float, temperature: float) -> float:
    """Return the pressure at the track in Pa, from the sea-level figure in Pa that a phone or a weather page shows.

    `elevation` is in m, `temperature` in °C at the track. The hypsometric equation with the standard lapse rate of
    6.5 K/km below the track: p = sea_level · (1 - L·h/(T + L·h))^5.25588. On a standard day it gives the standard
    atmosphere exactly. An airfield's altimeter setting is made with the standard temperature instead of the day's: on
    a day 25 °C hotter than that, at 1000 m, this is 1% too high for it.
    """
    return sea_level * _fall(elevation, temperature)


def _fall(elevation: float, temperature: float) -> float:
    """Return station pressure over sea-level pressure."""
    below = temperature + ZERO + _LAPSE * elevation  # K, at sea level
    return float((1 - _LAPSE * elevation / below) ** _POWER)


def problem(air: Air, elevation: float | None = None) -> str | None:
    """Return why this air cannot be and what to do, or None. `elevation` is in m, when it is known."""
    if not LIVED_IN[0] <= air.temperature <= LIVED_IN[1]:
        return (
            f"No air at a track has {air.temperature:.4g} °C: it lies between {LIVED_IN[0]:g} and {LIVED_IN[1]:g} °C. "
            f"Look at the thermometer again. If it shows °F, write it like 88 F."
        )
    if not 0 <= air.humidity <= 1:
        return (
            f"A humidity of {air.humidity * 100:.4g}% cannot be: at 100% the air holds all the water it can. "
            f"Look at the reading again. It goes from 0% to 100%."
        )
    if not PRESSURES[0] <= air.pressure <= PRESSURES[1]:
        return (
            f"A pressure of {_hpa(air.pressure)} cannot be: every place below 4000 m has between 600 and 1100 hPa. "
            f"Look at the number and its unit again."
        )
    return None if elevation is None else _misplaced(air, elevation)


def _misplaced(air: Air, elevation: float) -> str | None:
    """Return why this pressure cannot be the station's at this elevation, or None."""
    if wrong := elevation_problem(elevation):
        return wrong
    at_sea_level = air.pressure / _fall(elevation, air.temperature)
    if at_sea_level > AT_SEA_LEVEL[1]:
        return (
            f"{_hpa(air.pressure)} at {elevation:.4g} m would be {_hpa(at_sea_level)} at sea level, more than the "
            f"weather brings. It is probably the sea-level figure: give it as that. If a barometer at the track shows "
            f"it, look at the elevation again, or leave the elevation out."
        )
    if at_sea_level < AT_SEA_LEVEL[0]:
        return (
            f"{_hpa(air.pressure)} at {elevation:.4g} m would be {_hpa(at_sea_level)} at sea level, less than the "
            f"weather brings. Look at the pressure, the elevation and their units again."
        )
    return None


def elevation_problem(elevation: float) -> str | None:
    """Return why this cannot work at an elevation in m, or None."""
    if ELEVATIONS[0] <= elevation <= ELEVATIONS[1]:
        return None
    low, high = ELEVATIONS
    return f"An elevation of {elevation:.4g} m is outside what this can work with: {low:.0f} to {high:.0f} m."


def sea_level_problem(sea_level: float) -> str | None:
    """Return why `sea_level`, Pa, cannot be a sea-level pressure and what to do, or None."""
    if AT_SEA_LEVEL[0] <= sea_level <= AT_SEA_LEVEL[1]:
        return None
    return (
        f"{_hpa(sea_level)} is no sea-level pressure: the weather keeps it between {_hpa(AT_SEA_LEVEL[0])} and "
        f"{_hpa(AT_SEA_LEVEL[1])}. If a barometer at the track shows it, give it as the station pressure."
    )


def doubt(air: Air) -> str | None:
    """Return what to say when the air is outside the temperatures that the equation is made for, or None."""
    if TEMPERATURES[0] <= air.temperature <= TEMPERATURES[1]:
        return None
    return (
        f"The equation for air is made for {TEMPERATURES[0]:.0f} to {TEMPERATURES[1]:.0f} °C. At "
        f"{air.temperature:.4g} °C its last digits are not certain. What a weather station gets wrong is far more."
    )


def _hpa(pascal: float) -> str:
    return f"{pascal / 100:.4g} hPa"
