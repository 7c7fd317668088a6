"""What people type about the day, the fuel, a screw and a reading. Each refusal belongs to the field it stands in.

Raises `DiagnoseError` (`QuantityError` for a quantity with a unit) whose text says why, with an example.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Literal, NamedTuple

from diagnose.errors import DiagnoseError
from diagnose.tune import air as moist
from diagnose.tune import fuel as fuels
from diagnose.tune import heat
from diagnose.tune.air import Air
from diagnose.tune.depth import CountedFrom
from diagnose.tune.fuel import Blend
from diagnose.tune.needles import Depth, caliper, closed, flush
from diagnose.tune.quantity import QuantityKind as Quantity
from diagnose.tune.quantity import read
from diagnose.tune.well import UNITS, WellMeasure, refuse

FieldName = Literal["temperature", "humidity", "pressure", "elevation", "nitro", "oil"]

KINDS: dict[FieldName, Quantity] = {
    "temperature": "temperature",
    "humidity": "share",
    "pressure": "pressure",
    "elevation": "length",
    "nitro": "share",
    "oil": "share",
}
ASKED: dict[str, Quantity] = {"°C": "degrees", "mm": "mm", "s": "s", "V": "V"}
"""What is typed for a reading, by its unit."""
OF_THE_AIR: tuple[FieldName, ...] = ("temperature", "humidity", "pressure", "elevation")
OF_THE_FUEL: tuple[FieldName, ...] = ("nitro", "oil")

_FINE = Air(20.0, 101_325.0, 0.5)
"""Air with nothing wrong: with one figure put into it, what is wrong is that figure."""

_SIDED = re.compile(r"([-−])?\s*(.*?)\s*(above|below|sunk)?", re.IGNORECASE)


class Typed(NamedTuple):
    """The fields of the day and the fuel, as they were typed."""

    temperature: str = ""
    humidity: str = ""
    pressure: str = ""
    elevation: str = ""
    nitro: str = ""
    oil: str = ""
    sea_level: bool = True
    """The pressure is the sea-level figure that a phone shows, and not what a barometer at the track does."""


class TypedDay(NamedTuple):
    """What the fields come to; `problems` says by field why one can't be. Nothing typed at all is None, no problem."""

    air: Air | None
    fuel: Blend | None
    problems: dict[FieldName, str]
    elevation: float | None = None
    """m; None when it was left out or can't be."""


def day(typed: Typed) -> TypedDay:
    """Return the air and the fuel that were typed, each None when it was left out or can't be."""
    problems: dict[FieldName, str] = {}
    found: dict[FieldName, float] = {}
    for fields in (OF_THE_AIR, OF_THE_FUEL):
        if not any(getattr(typed, field).strip() for field in fields):
            continue
        for field in fields:
            text = getattr(typed, field)
            if field == "elevation" and not typed.sea_level and not text.strip():
                continue  # a barometer at the track needs none
            try:
                found[field] = read(text, KINDS[field])
            except DiagnoseError as error:
                problems[field] = str(error)
    air = _air(found, problems, typed.sea_level)
    fuel = _fuel(found, problems)
    return TypedDay(air, fuel, problems, None if "elevation" in problems else found.get("elevation"))


def as_typed(air: Air | None, fuel: Blend | None, elevation: float | None = None) -> Typed:
    """Return what would have been typed for this; the pressure is the station's as long as the air is known."""
    made = Typed(elevation="" if elevation is None else f"{elevation:.0f} m", sea_level=air is None)
    if air is not None:
        made = made._replace(
            temperature=f"{round(air.temperature, 1):g} °C",
            humidity=_percent(air.humidity),
            pressure=f"{round(air.pressure / 100, 1):g} hPa",
        )
    return made._replace(nitro=_percent(fuel.nitro), oil=_percent(fuel.oil)) if fuel is not None else made


def _percent(share: float) -> str:
    return f"{round(100 * share, 1):g} %"


def _air(found: dict[FieldName, float], problems: dict[FieldName, str], sea_level: bool) -> Air | None:
    """Return the air; add to `problems` what can't be."""
    at_the_track = "pressure" in found and not sea_level
    alone: dict[FieldName, Callable[[float], str | None]] = {
        "temperature": lambda value: moist.problem(replace(_FINE, temperature=value)),
        "humidity": lambda value: moist.problem(replace(_FINE, humidity=value)),
        "pressure": lambda value: (
            moist.problem(replace(_FINE, pressure=value)) if at_the_track else moist.sea_level_problem(value)
        ),
        "elevation": lambda value: (
            None if moist.ELEVATIONS[0] <= value <= moist.ELEVATIONS[1] else moist.problem(_FINE, value)
        ),
    }
    for field, problem in alone.items():
        if field in found and (why := problem(found[field])):
            problems[field] = why
    if not {"temperature", "humidity", "pressure"} <= found.keys() or problems.keys() & set(OF_THE_AIR):
        return None
    pressure, elevation = found["pressure"], found.get("elevation")
    if sea_level:
        pressure = moist.station_pressure(pressure, found["elevation"], found["temperature"])
    made = Air(found["temperature"], pressure, found["humidity"])
    if why := moist.problem(made, elevation):
        problems["pressure"] = why
        return None
    return made


def _fuel(found: dict[FieldName, float], problems: dict[FieldName, str]) -> Blend | None:
    if not set(OF_THE_FUEL) <= found.keys():
        return None
    made = Blend(found["nitro"], found["oil"])
    if why := fuels.problem(made):
        problems["oil" if not fuels.problem(replace(made, oil=0.0)) else "nitro"] = why
        return None
    return made


def depth(text: str, kind: CountedFrom, pitch: str = "") -> Depth:
    """Return where a screw stands: hours from closed or flush, or mm by the caliper with the `pitch` of the thread.

    Below the body is typed as ``-2`` or ``2 below``.
    """
    sided = _SIDED.fullmatch(text.strip())
    minus, amount, side = sided.groups() if sided else ("", text, "")
    sunk = bool(minus) or (side or "").lower() in ("below", "sunk")
    if kind == "closed":
        return closed(hours(text))
    if kind == "flush":
        return flush(hours(amount), sunk)
    return caliper(millimetres(amount), millimetres(pitch), sunk)


def hours(text: str) -> float:
    """Return hours: ``38``, ``38½``, ``3t 2h``, ``3 1/4 turns``."""
    return read(text, "hours")


def millimetres(text: str) -> float:
    """Return mm: ``0,5``, ``0.5 mm``."""
    return read(text, "mm")


def seconds(text: str) -> float:
    """Return seconds: ``7``, ``7 s``, ``8:30``, ``8 min 30 s``."""
    return read(text, "s")


def reading(text: str, measure: WellMeasure) -> float:
    """Return a reading of the well card in its unit; raises `DiagnoseError` for what can't be read at all."""
    value = read(text, ASKED[UNITS[measure]])
    refuse(measure, value)
    return value


def on_the_bench(text: str, unit: str) -> float:
    """Return a reading that a check or a preparation asks for in `unit`."""
    if unit == "°C":
        return _possible(read(text, "degrees"), heat.problem)
    return read(text, ASKED[unit])


def head(text: str) -> float:
    """Return what a thermometer shows of a head, °C."""
    return _possible(read(text, "temperature"), heat.problem)


def around(text: str) -> float:
    """Return the temperature of what is around an engine, °C."""
    return _possible(read(text, "temperature"), lambda value: moist.problem(replace(_FINE, temperature=value)))


def _possible(value: float, problem: Callable[[float], str | None]) -> float:
    if (why := problem(value)) is not None:
        raise DiagnoseError(why)
    return value
