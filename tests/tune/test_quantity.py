"""What people type, in and out."""

from __future__ import annotations

import subprocess
import sys
from math import isfinite
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.errors import DiagnoseError
from diagnose.tune.quantity import Kind, QuantityError, read

kinds = st.sampled_from(get_args(Kind))
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
def test_what_people_type_is_understood(text: str, kind: Kind, value: float) -> None:
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
def test_other_keyboards_are_understood(text: str, kind: Kind, value: float) -> None:
    assert read(text, kind) == pytest.approx(value, rel=1e-5)


@pytest.mark.parametrize(
    ("text", "kind", "words"),
    [
        ("31", "temperature", "'31' has no unit: it can be °C or °F. Write it like 31 °C or 88 °F."),
        ("1004", "pressure", "no unit: it can be hPa, mbar, inHg or mmHg"),
        ("120", "length", "no unit: it can be m, ft or mm"),
        ("0.55", "share", "no unit: it can be % only"),
        ("1", "share", "no unit"),
        ("-5", "share", "no unit"),
    ],
)
def test_a_missing_unit_is_refused_with_those_that_can_be_meant(text: str, kind: Kind, words: str) -> None:
    with pytest.raises(QuantityError) as said:
        read(text, kind)
    assert words in str(said.value)


def test_a_bare_number_of_per_cent_can_mean_nothing_else() -> None:
    assert read("55", "share") == pytest.approx(0.55)
    assert read("0", "share") == 0


@pytest.mark.parametrize(
    ("text", "kind", "words"),
    [
        ("", "pressure", "Nothing is typed"),
        ("   ", "pressure", "Nothing is typed"),
        ("warm", "temperature", "not a number and a unit"),
        ("nan C", "temperature", "not a number and a unit"),
        ("inf hPa", "pressure", "not a number and a unit"),
        ("∞ m", "length", "not a number and a unit"),
        ("1e999 hPa", "pressure", "too large"),
        ("1e308 hPa", "pressure", "too large"),
        ("9**9**9 m", "length", "not a number and a unit"),
        ("31²C", "temperature", "not a number and a unit"),
        ("½ mm", "length", "not a number and a unit"),
        ("1 004 hPa", "pressure", "not a number and a unit"),
        ("1,004 hPa", "pressure", "two ways: write 1004hPa or 1.004hPa"),
        ("31hPa", "temperature", "another unit"),
        ("31C", "pressure", "another unit: it can be hPa, mbar, inHg or mmHg"),
        ("5 m/s", "length", "another unit"),
        ("5 dog", "length", "another unit"),
        ("31°", "temperature", "another unit"),
        ("5 dB", "share", "another unit"),
        ("5 rad", "share", "another unit"),
    ],
)
def test_what_cannot_be_understood_is_refused_with_the_reason_and_an_example(text: str, kind: Kind, words: str) -> None:
    with pytest.raises(QuantityError) as said:
        read(text, kind)
    assert words in str(said.value)
    assert "rite" in str(said.value)  # "Write it like", or "write 1004hPa or"
    assert isinstance(said.value, DiagnoseError)


@settings(deadline=None)  # the first call imports pint
@given(st.sampled_from(sorted(PER_UNIT)), st.floats(-1e6, 1e6), st.booleans(), st.sampled_from(["", " ", "\u00a0"]))
def test_a_number_with_any_unit_comes_out_as_published(unit: str, value: float, comma: bool, space: str) -> None:
    kind, size = PER_UNIT[unit]
    typed = f"{value:.4f}".replace(".", "," if comma else ".")
    assert read(f"{typed}{space}{unit}", kind) == pytest.approx(round(value, 4) * size, rel=1e-6, abs=1e-9)


@settings(deadline=None)
@given(st.floats(-40, 300))
def test_a_temperature_typed_in_fahrenheit_comes_back(celsius: float) -> None:
    assert read(f"{celsius * 1.8 + 32:.9f} F", "temperature") == pytest.approx(celsius, abs=1e-6)


@settings(max_examples=400, deadline=None)
@given(st.text(max_size=12) | st.from_regex(r"\A[0-9.,eE+-]{1,8}[ ]?\w{0,6}\Z"), kinds)
def test_whatever_is_typed_gives_a_finite_number_or_is_refused(text: str, kind: Kind) -> None:
    try:
        value = read(text, kind)
    except QuantityError:
        return  # any other error fails
    assert isfinite(value)


def test_a_long_text_is_not_thrown_back_whole() -> None:
    with pytest.raises(QuantityError) as said:
        read("x" * 10_000, "length")
    assert len(str(said.value)) < 150


def test_importing_the_physical_side_does_not_import_the_units_library() -> None:
    rooms = "air, fuel, heat, quantity, throttle"
    loaded = f"import sys; from diagnose.tune import {rooms}; sys.exit('pint' in sys.modules or 'numpy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", loaded], check=False).returncode == 0
