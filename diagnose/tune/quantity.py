"""What people type: ``31C``, ``88 F``, ``1004hPa``, ``29.92inHg``, ``120m``, ``55%``, ``0,7 mm``.

The number is read here and pint only looks the unit up: given the number too, it would work out ``9**9**9``. Importing
pint takes about half a second, so that is left until a quantity with a unit is read.
"""

from __future__ import annotations

import re
from functools import cache
from math import isfinite
from typing import TYPE_CHECKING, Any, Literal, NamedTuple
from unicodedata import normalize

from diagnose.errors import DiagnoseError

if TYPE_CHECKING:
    from pint import UnitRegistry

Kind = Literal["temperature", "pressure", "length", "share"]


class QuantityError(DiagnoseError):
    """What was typed is not what is asked for; `str()` says why and gives an example."""


class _Asked(NamedTuple):
    """A kind of quantity: pint's name of the unit that it comes out in, the units that can be meant, an example."""

    inside: str
    units: str
    example: str


_ASKED: dict[Kind, _Asked] = {
    "temperature": _Asked("degC", "°C or °F", "31 °C or 88 °F"),
    "pressure": _Asked("Pa", "hPa, mbar, inHg or mmHg", "1004 hPa or 29.92 inHg"),
    "length": _Asked("m", "m, ft or mm", "120 m or 400 ft"),
    "share": _Asked("", "% only", "55%"),
}

_WRITTEN = {
    "°c": "degC",
    "c": "degC",
    "°f": "degF",
    "f": "degF",
    "hpa": "hPa",
    "kpa": "kPa",
    "mb": "mbar",
    "mbar": "mbar",
    "inhg": "inHg",
    '"hg': "inHg",
    "mmhg": "mmHg",
    "m": "m",
    "mm": "mm",
    "ft": "ft",
    "'": "ft",
    "%": "percent",
}
"""How people write units, in lower case, and pint's name: by the bare letters it knows coulombs, farads and barns."""

_SAME = str.maketrans({"º": "°", "˚": "°", "−": "-", "–": "-", "′": "'", "’": "'", "″": '"', "”": '"'})
_NUMBER_AND_UNIT = re.compile(r"([+-]?(?:\d+[.,]?\d*|[.,]\d+)(?:[eE][+-]?\d+)?)(\D*)")
_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}")


def read(text: str, kind: Kind) -> float:
    """Return what was typed: °C for a temperature, Pa, m, or a share (1 is 100%).

    A bare number is taken only for a share, and only above 1 or at 0, where nothing but per cent can be meant. Raises
    `QuantityError`.
    """
    asked = _ASKED[kind]
    example = f" Write it like {asked.example}."
    typed = text.strip()
    if not typed:
        raise QuantityError(f"Nothing is typed.{example}")
    quoted = f"'{typed[:30]}'"
    # ² and ① are digits to a reader, but no part of a number; full-width digits are
    found = None if any(c.isdigit() > c.isdecimal() for c in typed) else _NUMBER_AND_UNIT.fullmatch(_plain(typed))
    if found is None:
        raise QuantityError(f"{quoted} is not a number and a unit.{example}")
    number, unit = found.groups()
    if _THOUSANDS.fullmatch(number):
        raise QuantityError(
            f"{quoted} can be read in two ways: write {number.replace(',', '')}{unit} or "
            f"{number.replace(',', '.')}{unit}."
        )
    value = float(number.replace(",", "."))
    if not unit and not (kind == "share" and (value > 1 or value == 0)):
        raise QuantityError(f"{quoted} has no unit: it can be {asked.units}.{example}")
    inside = _converted(value, unit or "%", asked.inside)
    if inside is None:
        raise QuantityError(f"{quoted} has another unit: it can be {asked.units}.{example}")
    if not isfinite(inside):
        raise QuantityError(f"{quoted} is too large.{example}")
    return inside


def _plain(typed: str) -> str:
    """Return the text in ordinary signs, without spaces between the number and what follows."""
    plain = normalize("NFKC", typed.translate(_SAME))
    return re.sub(r"\s+(?!\d)", "", plain)


def _converted(value: float, unit: str, inside: str) -> float | None:
    """Return `value` in the unit `inside`, or None when `unit` is none of its kind."""
    written = unit.lower().replace("degrees", "°").replace("deg", "°")
    name = _WRITTEN.get(written, unit)
    if not inside:  # pint has other things without a dimension: radians, decibels
        return value / 100 if name == "percent" else None
    if not (name.isascii() and name.isalpha()):
        return None
    from pint import PintError

    registry = _registry()
    try:
        return float(registry.Quantity(value, registry.parse_units(name)).to(inside).magnitude)
    except PintError:
        return None


@cache
def _registry() -> UnitRegistry[Any]:
    from pint import UnitRegistry

    return UnitRegistry()
