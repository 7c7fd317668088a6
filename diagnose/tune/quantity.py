"""What people type where a number is asked for: ``104``, ``220F``, ``29,92 inHg``, ``3¼ turns``, ``3t 3h``, ``8:30``.

This is the one reader of the screens, the plain walk, the forms and the commands. A bare number is taken in the unit
that was asked for, where nothing else can be meant.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from math import inf, isfinite
from typing import Literal, NamedTuple
from unicodedata import normalize

from diagnose.errors import DiagnoseError
from diagnose.graph.wording import celsius

QuantityKind = Literal["temperature", "degrees", "pressure", "length", "share", "hours", "mm", "s", "min", "µs", "V"]
"""What is asked for. A temperature may be in °C or °F and says which; degrees are asked for in °C."""


class QuantityError(DiagnoseError):
    """What was typed is not what is asked for; `str()` says why and gives an example."""


class _Asked(NamedTuple):
    what: str
    units: Mapping[str, float]
    """How much of what it comes out in one of a unit is, by how the unit is written, in lower case."""
    can: str
    like: str
    bare: str = ""
    """The unit of a bare number; nothing where the unit must be said."""
    then: str = ""
    """The unit of a bare number behind one with a larger unit: ``3t 2``, ``8:30``."""
    signed: bool = False


def _named(*units: tuple[str, float]) -> dict[str, float]:
    return {name: size for names, size in units for name in names.split()}


_F = -1.0
"""Stands for °F, of which the zero is another."""
_TURN = 12.0
"""Hours."""
_MOST_TURNS = 6.0
"""A screw goes no further out."""
_BARE_DEGREES = 150.0
"""°C: a higher number without a unit was read in °F, in which a head on arrival has 180 to 270."""

_DEGREES = _named(("°c c celsius", 1), ("°f f fahrenheit", _F))
_MM = _named(("mm", 1), ("cm", 10), ('in inch inches "', 25.4))
_LENGTH = _named(
    ("m metre metres meter meters", 1),
    ("mm", 0.001),
    ("cm", 0.01),
    ("km", 1000),
    ("ft foot feet '", 0.3048),
    ("in inch inches", 0.0254),
)
_PRESSURE = _named(
    ("pa", 1),
    ("hpa mbar mb", 100),
    ("kpa", 1000),
    ("bar", 1e5),
    ('inhg "hg', 3386.389),  # this and the next two: NIST SP 811, appendix B.8
    ("mmhg", 133.3224),
    ("psi", 6894.757),
)
_SECONDS = _named(("s sec secs second seconds", 1), ("m min mins minute minutes :", 60))
_MINUTES = _named(("m min mins minute minutes :", 1), ("s sec secs second seconds", 1 / 60), ("h hour hours", 60))
_HOURS = _named(("h hour hours", 1), ("t turn turns", _TURN))

_ASKED: dict[QuantityKind, _Asked] = {
    "temperature": _Asked("a number and a unit", _DEGREES, "°C or °F", "31 °C or 88 °F", signed=True),
    "degrees": _Asked("a temperature", {**_DEGREES, "°": 1}, "°C or °F", "104, 104 C or 220 F", "c", signed=True),
    "pressure": _Asked(
        "a number and a unit", _PRESSURE, "hPa, mbar, inHg or mmHg", "1004 hPa or 29.92 inHg", signed=True
    ),
    "length": _Asked("a number and a unit", _LENGTH, "m, ft or mm", "120 m or 400 ft", signed=True),
    "share": _Asked("a number and a unit", _named(("% percent", 0.01)), "% only", "55%", signed=True),
    "hours": _Asked("a number of hours", _HOURS, "hours or turns", "39, 39 h, 3t 3h or 3 1/4 turns", "h", "h"),
    "mm": _Asked("a length in mm", _MM, "mm", "0.7 or 0.7 mm", "mm"),
    "s": _Asked("a time", _SECONDS, "seconds or minutes", "7, 7 s or 8:30", "s", "s"),
    "min": _Asked("a number of minutes", _MINUTES, "minutes", "8, 8 min or 7:30", "min", "s"),
    "µs": _Asked("a number of µs", _named(("us μs", 1), ("ms", 1000)), "µs", "1500 or 1500 us", "us"),
    "V": _Asked("a voltage", _named(("v volt volts", 1), ("mv", 0.001)), "V", "1.2 or 1.2 V", "v"),
}

_LONGEST = 60
"""Signs: nobody writes a number and its unit with more, and to look for one in far more takes long."""
_SAME = str.maketrans({"º": "°", "˚": "°", "−": "-", "–": "-", "′": "'", "’": "'", "″": '"', "”": '"'})
_FRACTION = re.compile("[¼-¾⅐-⅞]")
_NUMBER = r"(?:\d+[.,]?\d*|[.,]\d+)(?:[eE][+-]?\d+)?"
_PART = re.compile(rf"([+-]?)(?:(?:({_NUMBER})\s+)?(\d{{1,2}})/(\d{{1,2}})|({_NUMBER}))\s*([^\d.,]*)")
_BETWEEN = re.compile(r",?\s*")
_THOUSANDS = re.compile(r"[1-9]\d{0,2},\d{3}")


class _Part(NamedTuple):
    value: float
    unit: str
    written: str
    """The number, as it was typed."""
    fraction: bool


def read(text: str, kind: QuantityKind) -> float:
    """Return what was typed: °C, Pa, m, a share (1 is 100%), hours, mm, s, minutes, µs or V; or raise `QuantityError`.

    A bare share is taken only above 1 or at 0, where nothing but per cent can be meant.
    """
    asked = _ASKED[kind]
    example = f" Say it like {asked.like}."
    typed = text.strip()
    if not typed:
        raise QuantityError(f"Nothing has been typed.{example}")
    quoted = f"'{typed[:30]}'"
    parts = _parts(typed)
    if not parts or len(parts) > (2 if asked.then else 1) or (parts[0].value < 0 and not asked.signed):
        raise QuantityError(f"{quoted} is not {asked.what}.{example}")
    for part in parts:
        if _THOUSANDS.fullmatch(part.written):
            whole, point = (part.written.replace(",", other) + part.unit for other in ("", "."))
            raise QuantityError(f"{quoted} can be read in two ways: write {whole} or {point}.")
    first = parts[0]
    unit = _unit(first.unit) or _bare(first, kind, quoted, example)
    size = asked.units.get(unit)
    if size is None:
        raise QuantityError(f"{quoted} has another unit: it can be {asked.can}.{example}")
    value = celsius(first.value) if size == _F else first.value * size
    if len(parts) == 2:
        more = parts[1].value * asked.units.get(_unit(parts[1].unit) or asked.then, inf)
        if not first.unit or not 0 <= more < size:
            raise QuantityError(f"{quoted} is not {asked.what}.{example}")
        value += more
    if not isfinite(value):
        raise QuantityError(f"{quoted} is too large.{example}")
    return value


def _bare(part: _Part, kind: QuantityKind, quoted: str, example: str) -> str:
    """Return the unit of a number that was typed without one."""
    asked = _ASKED[kind]
    if kind == "share" and (part.value > 1 or part.value == 0):
        return "%"
    if not asked.bare or (kind == "degrees" and part.value > _BARE_DEGREES):
        raise QuantityError(f"{quoted} has no unit: it can be {asked.can}.{example}")
    if kind == "hours" and part.fraction and 0.5 < part.value <= _MOST_TURNS:
        if part.value * 2 % 1:
            return "t"  # nobody sees a quarter of an hour on a screw
        raise QuantityError(f"{quoted} can be turns or hours. Say it like {part.written} t, or {part.written} h.")
    return asked.bare


def _parts(typed: str) -> list[_Part]:
    """Return each number with its unit as it is written; nothing where there is something else as well."""
    if len(typed) > _LONGEST or any(sign.isdigit() > sign.isdecimal() for sign in typed):
        return []  # ² and ① are digits to a reader, but no part of a number; full-width digits are
    parts: list[_Part] = []
    plain, at = _plain(typed), 0
    while at < len(plain):
        found = _PART.match(plain, at)
        if found is None:
            return []
        sign, whole, over, under, number, unit = found.groups()
        if under is not None and not int(under):
            return []
        value = _float(whole or number or "0") + (int(over) / int(under) if over else 0.0)
        written = number or (f"{whole} {over}/{under}" if whole else f"{over}/{under}")
        parts.append(_Part(-value if sign == "-" else value, unit.strip(), written, bool(over)))
        between = _BETWEEN.match(plain, found.end())
        at = between.end() if between and unit.strip() else found.end()
    return parts


def _float(number: str) -> float:
    return float(number.replace(",", "."))


def _unit(written: str) -> str:
    """Return a unit as the tables have it."""
    words = written.lower().split()
    if words[-1:] == ["and"]:
        words.pop()
    return "".join(words).replace("degrees", "°").replace("deg", "°").replace("fahrenheit", "f")


def _plain(typed: str) -> str:
    """Return the text in ordinary signs, a fraction as 1/4 with a space before it."""
    apart = _FRACTION.sub(lambda found: f" {normalize('NFKC', found[0]).replace('⁄', '/')} ", typed)
    return normalize("NFKC", apart.translate(_SAME)).strip()
