"""What people type, in and out."""

from __future__ import annotations

import subprocess
import sys
from functools import cache
from importlib import import_module
from math import isfinite
from typing import Any, get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.errors import DiagnoseError
from diagnose.tune.quantity import QuantityError, QuantityKind, read

kinds = st.sampled_from(get_args(QuantityKind))
PER_UNIT = {
    # published: NIST SP 811, appendix B.8; feet and inches exact
    "hPa": ("pressure", 100),
    "mbar": ("pressure", 100),
    "mb": ("pressure", 100),
    "kPa": ("pressure", 1000),
    "inHg": ("pressure", 3386.389),
    "mmHg": ("pressure", 133.3224),
    "m": ("length", 1),
    "ft": ("length", 0.3048),
    "in": ("length", 0.0254),
    "mm": ("length", 0.001),
    "%": ("share", 0.01),
}


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("31C", "temperature", 31),
        ("31 °C", "temperature", 31),
        ("88 F", "temperature", 31.111),
        ("88°f", "temperature", 31.111),
        ("250 deg F", "temperature", 121.111),
        ("31 celsius", "temperature", 31),
        ("-5C", "temperature", -5),
        ("1004hPa", "pressure", 100_400),
        ("1004 HPA", "pressure", 100_400),
        ("29.92inHg", "pressure", 101_320.75),
        ('29.92"Hg', "pressure", 101_320.75),
        ("753 mmHg", "pressure", 100_391.8),
        ("753 mm Hg", "pressure", 100_391.8),
        ("120m", "length", 120),
        ("400 ft", "length", 121.92),
        ("400'", "length", 121.92),
        ("0.7mm", "length", 0.0007),
        (".7 mm", "length", 0.0007),
        ("55%", "share", 0.55),
        ("55 percent", "share", 0.55),
    ],
)
def test_what_people_type_is_understood(text: str, kind: QuantityKind, value: float) -> None:
    assert read(text, kind) == pytest.approx(value, rel=1e-5)


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("３１℃", "temperature", 31),  # full-width digits, and the degree as one sign
        ("31º C", "temperature", 31),  # the ordinal sign of a Spanish keyboard
        ("−5\u00a0°C", "temperature", -5),  # a true minus and a space that does not break
        ("٣١ °C", "temperature", 31),
        ("29,92 inHg", "pressure", 101_320.75),
        ("０，７ mm", "length", 0.0007),
        ("0,700 mm", "length", 0.0007),
        ("55％", "share", 0.55),
    ],
)
def test_other_keyboards_are_understood(text: str, kind: QuantityKind, value: float) -> None:
    assert read(text, kind) == pytest.approx(value, rel=1e-5)


@pytest.mark.parametrize(
    ("text", "kind", "words"),
    [
        ("31", "temperature", "'31' has no unit: it can be °C or °F. Say it like 31 °C or 88 °F."),
        ("1004", "pressure", "no unit: it can be hPa, mbar, inHg or mmHg"),
        ("120", "length", "no unit: it can be m, ft or mm"),
        ("0.55", "share", "no unit: it can be % only"),
        ("1", "share", "no unit"),
        ("-5", "share", "no unit"),
    ],
)
def test_a_missing_unit_is_refused_with_those_that_can_be_meant(text: str, kind: QuantityKind, words: str) -> None:
    with pytest.raises(QuantityError) as said:
        read(text, kind)
    assert words in str(said.value)


def test_a_bare_number_of_per_cent_can_mean_nothing_else() -> None:
    assert read("55", "share") == pytest.approx(0.55)
    assert read("0", "share") == 0


@pytest.mark.parametrize(
    ("text", "kind", "words"),
    [
        ("", "pressure", "Nothing has been typed"),
        ("   ", "pressure", "Nothing has been typed"),
        ("warm", "temperature", "not a number and a unit"),
        ("nan C", "temperature", "not a number and a unit"),
        ("inf hPa", "pressure", "not a number and a unit"),
        ("∞ m", "length", "not a number and a unit"),
        ("1e999 hPa", "pressure", "too large"),
        ("1e308 hPa", "pressure", "too large"),
        ("9**9**9 m", "length", "not a number and a unit"),
        ("31²C", "temperature", "not a number and a unit"),
        ("1 004 hPa", "pressure", "not a number and a unit"),
        ("1,004 hPa", "pressure", "two ways: write 1004hPa or 1.004hPa"),
        ("31hPa", "temperature", "another unit"),
        ("31C", "pressure", "another unit: it can be hPa, mbar, inHg or mmHg"),
        ("5 m/s", "length", "another unit"),
        ("5 dog", "length", "another unit"),
        ("31°", "temperature", "another unit"),
        ("5 dB", "share", "another unit"),
        ("5 rad", "share", "another unit"),
        ("31 C 5 C", "temperature", "not a number and a unit"),
        ("3/0 mm", "mm", "not a length in mm"),
        ("-1 mm", "mm", "not a length in mm"),
        ("3h 3t", "hours", "not a number of hours"),
        ("3t 14h", "hours", "not a number of hours"),
        ("3t 1/2 dog", "hours", "not a number of hours"),
        ("3 1/2", "hours", "turns or hours. Say it like 3 1/2 t, or 3 1/2 h"),
        ("2½", "hours", "turns or hours. Say it like 2 1/2 t, or 2 1/2 h"),
        ("8:75", "s", "not a time"),
        ("5 C", "s", "another unit: it can be seconds or minutes"),
        ("220", "degrees", "'220' has no unit: it can be °C or °F. Say it like 104, 104 C or 220 F."),
        ("much", "degrees", "not a temperature. Say it like 104, 104 C or 220 F."),
    ],
)
def test_what_cannot_be_understood_is_refused_with_the_reason_and_an_example(
    text: str, kind: QuantityKind, words: str
) -> None:
    with pytest.raises(QuantityError) as said:
        read(text, kind)
    assert words in str(said.value)
    assert "Say it like" in str(said.value) or "write 1004hPa or" in str(said.value)
    assert isinstance(said.value, DiagnoseError)


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("104", "degrees", 104),
        ("104 C", "degrees", 104),
        ("104°", "degrees", 104),
        ("104,5", "degrees", 104.5),
        ("220F", "degrees", 104.444),
        ("1 mm", "mm", 1),
        ("0.7mm", "mm", 0.7),
        (",7", "mm", 0.7),
        ("3/4 mm", "mm", 0.75),
        ("½ mm", "length", 0.0005),
        ("3 s", "s", 3),
        ("3", "s", 3),
        ("8 min", "min", 8),
        ("7:30", "min", 7.5),
        ("1 h", "min", 60),
        ("1500 us", "µs", 1500),
        ("1500 µs", "µs", 1500),
        ("1.5 ms", "µs", 1500),
        ("1,2 V", "V", 1.2),
    ],
)
def test_a_bare_number_is_in_the_unit_that_was_asked_for(text: str, kind: QuantityKind, value: float) -> None:
    assert read(text, kind) == pytest.approx(value, rel=1e-5)


@pytest.mark.parametrize(
    "text",
    ["39", "39 h", "39,0h", "3 1/4", "3¼", "3 1/4 turns", "3¼ t", "3.25 turns", "3,25t", "3t 3h", "3 t, 3 h", "3t3"],
)
def test_a_screw_may_be_told_in_hours_or_in_turns(text: str) -> None:
    """Nobody sees a quarter of an hour on a screw: bare quarters are turns."""
    assert read(text, "hours") == 39


@pytest.mark.parametrize(
    ("text", "value"), [("38 1/2", 38.5), ("38½", 38.5), ("½", 0.5), ("2 1/2 h", 2.5), ("2½t", 30)]
)
def test_half_an_hour_is_told_as_people_do(text: str, value: float) -> None:
    assert read(text, "hours") == value


@cache
def registry() -> Any:
    return import_module("pint").UnitRegistry()


PINT = {"c": "degC", "f": "degF", "'": "ft", '"hg': "inHg", "inhg": "inHg", "mmhg": "mmHg", "hpa": "hPa", "kpa": "kPa",
        "mb": "mbar", "pa": "Pa", "%": "percent"}  # fmt: skip
"""What another library calls a unit that we write in another way."""
INSIDE = {"temperature": "degC", "degrees": "degC", "pressure": "Pa", "length": "m", "share": "", "mm": "mm", "s": "s",
          "min": "min", "µs": "us", "V": "V"}  # fmt: skip
WRITTEN = [
    (kind, unit)
    for kind, units in {
        "temperature": ("C", "F", "celsius", "fahrenheit"),
        "degrees": ("C", "F"),
        "pressure": ("Pa", "hPa", "kPa", "mb", "mbar", "bar", "inHg", '"Hg', "mmHg", "psi"),
        "length": ("m", "mm", "cm", "km", "ft", "'", "in", "inch"),
        "share": ("%", "percent"),
        "mm": ("mm", "cm", "in", "inch"),
        "s": ("s", "sec", "second", "seconds", "min", "minute", "minutes"),
        "min": ("min", "minute", "s", "second", "h", "hour"),
        "µs": ("us", "ms"),
        "V": ("V", "mV", "volt"),
    }.items()
    for unit in units
]


@settings(deadline=None, max_examples=300)
@given(st.sampled_from(WRITTEN), st.floats(0.001, 1e5))
def test_each_unit_is_worth_what_another_library_says(written: tuple[QuantityKind, str], value: float) -> None:
    kind, unit = written
    known, typed = registry(), f"{value:.4f}"
    name = PINT.get(unit.lower(), unit)
    theirs = known.Quantity(float(typed), known.parse_units(name)).to(INSIDE[kind]).magnitude
    assert read(f"{typed} {unit}", kind) == pytest.approx(float(theirs), rel=1e-6, abs=1e-9)


@given(st.sampled_from(sorted(PER_UNIT)), st.floats(-1e6, 1e6), st.booleans(), st.sampled_from(["", " ", "\u00a0"]))
def test_a_number_with_any_unit_comes_out_as_published(unit: str, value: float, comma: bool, space: str) -> None:
    kind, size = PER_UNIT[unit]
    typed = f"{value:.4f}".replace(".", "," if comma else ".")
    assert read(f"{typed}{space}{unit}", kind) == pytest.approx(round(value, 4) * size, rel=1e-6, abs=1e-9)


@given(st.floats(-40, 300))
def test_a_temperature_typed_in_fahrenheit_comes_back(celsius: float) -> None:
    assert read(f"{celsius * 1.8 + 32:.9f} F", "temperature") == pytest.approx(celsius, abs=1e-6)


@settings(max_examples=400, deadline=None)
@given(st.text(max_size=12) | st.from_regex(r"\A[0-9.,eE+-]{1,8}[ ]?\w{0,6}\Z"), kinds)
def test_whatever_is_typed_gives_a_finite_number_or_is_refused(text: str, kind: QuantityKind) -> None:
    try:
        value = read(text, kind)
    except QuantityError:
        return  # any other error fails
    assert isfinite(value)


def test_a_long_text_is_not_thrown_back_whole() -> None:
    with pytest.raises(QuantityError) as said:
        read("x" * 10_000, "length")
    assert len(str(said.value)) < 150


@pytest.mark.parametrize("text", ["1" * 100_000, "1/" * 50_000, "1 " * 50_000, "½" * 100_000])
def test_a_pasted_page_is_refused_at_once(text: str) -> None:
    """Looked through sign by sign, a hundred thousand digits took minutes."""
    with pytest.raises(QuantityError):
        read(text, "hours")


def test_reading_a_number_needs_no_library_of_units() -> None:
    """It took seconds on a busy machine: the first number that was typed."""
    ran = "import sys; from diagnose.tune.typed import head; head('98 C')"
    loaded = f"{ran}; sys.exit('pint' in sys.modules or 'numpy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", loaded], check=False).returncode == 0
