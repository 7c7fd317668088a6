"""What people type for the day, the fuel, a screw and a reading."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.errors import DiagnoseError
from diagnose.tune.air import Air, station_pressure
from diagnose.tune.fuel import Blend
from diagnose.tune.typed import (
    CountedFrom,
    FieldName,
    Typed,
    around,
    as_typed,
    day,
    depth,
    head,
    hours,
    millimetres,
    on_the_bench,
    reading,
    seconds,
)
from diagnose.tune.well import WellMeasure

PHONE = Typed("31C", "55", "1015hPa", "120m", "25", "12%")
TRACK = PHONE._replace(pressure="29.92inHg", elevation="", sea_level=False)


def test_a_barometer_at_the_track_needs_no_elevation() -> None:
    found = day(TRACK)
    assert found.air is not None
    assert found.air.pressure == pytest.approx(101_325, abs=10)
    assert (found.air.temperature, found.air.humidity) == pytest.approx((31, 0.55))
    assert found.fuel == Blend(0.25, 0.12)
    assert not found.problems


def test_a_sea_level_figure_is_brought_to_the_track() -> None:
    assert day(PHONE).air == Air(31, station_pressure(101_500, 120, 31), 0.55)


def test_a_sea_level_figure_without_an_elevation_is_not_taken_for_the_track() -> None:
    found = day(PHONE._replace(elevation=" "))
    assert found.air is None
    assert found.problems == {"elevation": "Nothing has been typed. Say it like 120 m or 400 ft."}


def test_the_elevation_is_kept_beside_the_air() -> None:
    assert day(PHONE).elevation == 120
    assert day(TRACK).elevation is None
    assert day(TRACK._replace(elevation="400ft")).elevation == pytest.approx(121.92)


@given(
    st.none() | st.builds(Air, st.floats(-20, 45), st.floats(80_000, 105_000), st.floats(0.01, 1)),
    st.none() | st.builds(Blend, st.floats(0, 0.35), st.floats(0.06, 0.25)),
)
def test_what_was_noted_is_typed_again_as_it_was(air: Air | None, fuel: Blend | None) -> None:
    """To the digits that are shown: a tenth of a degree, of a hPa, of a per cent."""
    found = day(as_typed(air, fuel))
    assert not found.problems
    assert (found.air is None, found.fuel is None) == (air is None, fuel is None)
    if air is not None and found.air is not None:
        assert found.air.temperature == pytest.approx(air.temperature, abs=0.051)
        assert found.air.pressure == pytest.approx(air.pressure, abs=5.1)
        assert found.air.humidity == pytest.approx(air.humidity, abs=0.00051)
    if fuel is not None and found.fuel is not None:
        assert (found.fuel.nitro, found.fuel.oil) == pytest.approx((fuel.nitro, fuel.oil), abs=0.00051)


def test_what_is_left_out_altogether_is_no_problem() -> None:
    assert day(Typed()) == (None, None, {}, None)
    assert day(Typed(nitro="16", oil="0")) == (None, Blend(0.16, 0), {}, None)
    assert day(PHONE._replace(nitro="", oil="")).fuel is None


@pytest.mark.parametrize(
    ("typed", "field", "why"),
    [
        (PHONE._replace(temperature="31"), "temperature", "has no unit"),
        (PHONE._replace(temperature="88C"), "temperature", "If it shows °F"),
        (PHONE._replace(humidity="140"), "humidity", "cannot be"),
        (PHONE._replace(humidity=""), "humidity", "Nothing has been typed"),
        (PHONE._replace(pressure="850hPa"), "pressure", "no sea-level pressure"),
        (PHONE._replace(pressure="ten"), "pressure", "not a number and a unit"),
        (PHONE._replace(elevation="9000m"), "elevation", "outside what this can work with"),
        (PHONE._replace(elevation="-1e9m"), "elevation", "outside what this can work with"),
        (TRACK._replace(pressure="1200hPa"), "pressure", "cannot be"),
        (TRACK._replace(pressure="1013hPa", elevation="1500m"), "pressure", "probably the sea-level figure"),
        (TRACK._replace(elevation="9000 m"), "elevation", "outside what this can work with"),
        (PHONE._replace(nitro="140"), "nitro", "cannot be"),
        (PHONE._replace(oil="140"), "oil", "cannot be"),
        (PHONE._replace(nitro="60", oil="40"), "oil", "leave no room for methanol"),
        (PHONE._replace(nitro="100", oil="2"), "nitro", "leave no room for methanol"),
        (PHONE._replace(oil=""), "oil", "Nothing has been typed"),
    ],
)
def test_what_can_not_be_is_refused_at_its_own_field(typed: Typed, field: FieldName, why: str) -> None:
    found = day(typed)
    assert list(found.problems) == [field]
    assert why in found.problems[field]
    assert (found.fuel if field in ("nitro", "oil") else found.air) is None
    assert (found.air if field in ("nitro", "oil") else found.fuel) is not None


def test_every_field_that_is_wrong_is_told_at_once() -> None:
    found = day(Typed("hot", "140%", "1200hPa", "9000m", "x", "y"))
    assert list(found.problems) == ["temperature", "nitro", "oil", "humidity", "pressure", "elevation"]


@given(st.tuples(*[st.text(max_size=12)] * 6), st.booleans())
def test_no_text_breaks_the_form(texts: tuple[str, str, str, str, str, str], sea_level: bool) -> None:
    found = day(Typed(*texts, sea_level))
    assert all(found.problems.values())


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("38", 38),
        ("38,5", 38.5),
        ("38½", 38.5),
        ("½", 0.5),
        ("38 h", 38),
        ("38 hours", 38),
        ("1 hour", 1),
        (".5", 0.5),
        ("3t", 36),
        ("3t 2h", 38),
        ("3t2", 38),
        ("3 turns and 2 hours", 38),
        ("1 turn ½", 12.5),
        ("1½ turns", 18),
    ],
)
def test_hours_are_read_as_people_write_them(text: str, expected: float) -> None:
    assert hours(text) == pytest.approx(expected)


@pytest.mark.parametrize("text", ["", "two", "-1", "3 2", "3t2h1", "nan", "3²"])
def test_what_is_no_number_of_hours_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(DiagnoseError, match="Say it like 39"):
        hours(text)


@pytest.mark.parametrize(
    ("text", "kind", "expected"),
    [
        ("3t 2h", "closed", 38),
        ("2", "flush", 2),
        ("-2", "flush", -2),
        ("2 below", "flush", -2),
        ("2 above", "flush", 2),
        ("1.25 mm", "caliper", 30),
        ("-1,25", "caliper", -30),
        ("1.25mm sunk", "caliper", -30),
    ],
)
def test_a_depth_may_be_counted_from_closed_from_flush_or_measured(
    text: str, kind: CountedFrom, expected: float
) -> None:
    found = depth(text, kind, "0,5")
    assert (found.hours, found.kind) == (pytest.approx(expected), kind)


@pytest.mark.parametrize(
    ("text", "kind", "pitch"),
    [
        ("90", "closed", ""),
        ("-1", "closed", ""),
        ("90", "flush", ""),
        ("1", "caliper", ""),
        ("1", "caliper", "9"),
        ("--1", "flush", ""),
        ("below", "flush", ""),
        ("1", "caliper", "0"),
    ],
)
def test_where_no_screw_can_stand_is_refused(text: str, kind: CountedFrom, pitch: str) -> None:
    with pytest.raises(DiagnoseError):
        depth(text, kind, pitch)


@pytest.mark.parametrize(
    ("text", "expected"),
    [("7", 7), ("7 s", 7), ("6.5sec", 6.5), ("8:30", 510), ("8 min", 480), ("8 min 30 s", 510), ("8m30", 510)],
)
def test_a_time_is_read_in_seconds_or_minutes(text: str, expected: float) -> None:
    assert seconds(text) == pytest.approx(expected)


@pytest.mark.parametrize("text", ["", "soon", "8:75", "1:2:3", "8 mm"])
def test_what_is_no_time_is_refused(text: str) -> None:
    with pytest.raises(DiagnoseError, match="7, 7 s or 8:30"):
        seconds(text)


@pytest.mark.parametrize(
    ("text", "measure", "expected"),
    [("0,7 mm", "idle gap", 0.7), ("3", "pinch", 3), ("205F", "head", 96.1), ("7:30", "tank run", 450)],
)
def test_a_reading_comes_in_the_unit_of_its_measure(text: str, measure: WellMeasure, expected: float) -> None:
    assert reading(text, measure) == pytest.approx(expected, abs=0.05)


@pytest.mark.parametrize(
    ("text", "measure"), [("99 mm", "idle gap"), ("296", "head"), ("400C", "head"), ("2h", "pinch")]
)
def test_a_reading_that_can_not_be_is_refused(text: str, measure: WellMeasure) -> None:
    with pytest.raises(DiagnoseError):
        reading(text, measure)


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("104", "°C", 104),
        ("220F", "°C", 104.44),
        ("1 mm", "mm", 1),
        ("0,8", "mm", 0.8),
        ("3 s", "s", 3),
        ("1.2", "V", 1.2),
    ],
)
def test_a_reading_on_the_bench_is_in_the_unit_that_it_asks_for(text: str, unit: str, value: float) -> None:
    assert on_the_bench(text, unit) == pytest.approx(value, abs=0.01)


def test_a_head_on_the_bench_that_no_head_has_is_refused_with_the_range() -> None:
    with pytest.raises(DiagnoseError, match=r"between -40 °C \(-40 °F\) and 200 °C \(392 °F\)"):
        on_the_bench("230 C", "°C")


def test_a_screw_that_stands_too_far_out_is_refused_with_the_range() -> None:
    with pytest.raises(DiagnoseError, match=r"0 to 72 hours \(6 turns\)"):
        depth("7 turns", "closed")


@pytest.mark.parametrize("text", ["230", "230C", "-90F", ""])
def test_what_no_thermometer_shows_of_a_head_is_refused(text: str) -> None:
    with pytest.raises(DiagnoseError):
        head(text)


def test_a_head_and_what_is_around_it_are_read_in_either_unit() -> None:
    assert head("221F") == pytest.approx(105)
    assert around("25 °C") == 25
    with pytest.raises(DiagnoseError, match="No air at a track has 80 °C: it lies between -40 and 55 °C"):
        around("80C")


def test_a_thread_is_typed_in_mm() -> None:
    assert millimetres("0,5 mm") == 0.5
