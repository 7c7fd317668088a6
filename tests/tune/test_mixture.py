"""What air and fuel ask of a needle, against the project's tables (derived, computed with CIPM-2007) and textbooks."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.errors import DiagnoseError
from diagnose.tune.air import Air
from diagnose.tune.fuel import Blend
from diagnose.tune.mixture import Conditions, NeedleOpening, Span, opening, pressurised, shift, suction

THREE = NeedleOpening(3, 3, "three effective turns, as in the table")
AIRS = st.builds(Air, st.floats(0, 40, width=32), st.floats(80_000, 105_000, width=32), st.floats(0, 1, width=32))
BLENDS = st.builds(Blend, st.floats(0, 0.35), st.floats(0.06, 0.25))


def conditions(air: Air | None = None, nitro: float | None = None, oil: float = 0.10) -> Conditions:
    return Conditions(air, None if nitro is None else Blend(nitro, oil))


def air_hours(new: Air, old: Air) -> tuple[float, float]:
    change = shift(conditions(new), conditions(old))
    return change.hours(THREE, ("suction",)).high, change.hours(THREE, ("pressurised",)).high


# Computed for the project: hours at N − N0 = 3, suction and pressurised (T_exhaust fixed).
TABLE = [
    (Air(30, 101_325, 0.5), Air(20, 101_325, 0.5), -0.9, -0.2),
    (Air(35, 101_325, 0.4), Air(10, 101_325, 0.6), -1.9, -0.3),
    (Air(35, 101_325, 0.8), Air(35, 101_325, 0.2), -1.0, -0.8),
    (Air(20, 99_000, 0.5), Air(20, 103_000, 0.5), -0.7, -0.7),
    (Air(5.25, 84_556, 0.0), Air(15, 101_325, 0.0), -2.5, -3.1),  # the standard atmosphere at 1500 m and at 0 m
]


@pytest.mark.parametrize(("new", "old", "drawn", "pressed"), TABLE)
def test_the_hours_of_the_table(new: Air, old: Air, drawn: float, pressed: float) -> None:
    assert air_hours(new, old) == pytest.approx((drawn, pressed), abs=0.05)


@pytest.mark.parametrize(
    ("turns", "hours"), [(2, 0.12), (3, 0.18), (4, 0.24), (5, 0.30)]
)  # derived: 0.12 · n · (N − N0), n = 0.5
def test_one_per_cent_of_dry_density_at_constant_temperature(turns: float, hours: float) -> None:
    change = shift(conditions(Air(20, 101_000, 0)), conditions(Air(20, 100_000, 0)))
    at = NeedleOpening(turns, turns, "")
    assert change.hours(at, ("suction",)).high == pytest.approx(hours, rel=0.01)
    assert change.hours(at, ("pressurised",)).high == pytest.approx(hours, rel=0.01)  # isothermal n_p = 1/2


def test_three_quarters_of_the_density_need_the_root_of_it() -> None:
    """A published pilot-engineer's derivation: fuel ∝ √(density of the air), so 75 % wants √0.75 of the area."""
    assert suction(Air(20, 75_000, 0), Air(20, 100_000, 0)) == pytest.approx(math.sqrt(0.75), rel=1e-3)
    # Ganesan, example 8.6: a depression of 0.24 for 0.20 bar moves 15:1 to 13.69:1, the same law
    assert 15 * suction(Air(20, 0.20 * 4e5, 0), Air(20, 0.24 * 4e5, 0)) == pytest.approx(13.69, abs=0.01)


@pytest.mark.parametrize(("old", "new", "hours"), [(0.16, 0.25, 3.4), (0.20, 0.25, 1.9)])
def test_stronger_fuel_wants_more_hours(old: float, new: float, hours: float) -> None:
    """Computed for the project: oil 10 %, not burnt, three effective turns."""
    change = shift(conditions(nitro=new), conditions(nitro=old))
    assert change.hours(THREE).high == pytest.approx(hours, abs=0.05)


@pytest.mark.parametrize(
    ("nitro", "oil", "percent"),
    [
        (0.16, 0.08, -2.6),
        (0.16, 0.12, 2.8),
        (0.20, 0.10, 4.0),
        (0.25, 0.08, 6.4),
        (0.25, 0.12, 12.7),
        (0.30, 0.10, 15.3),
    ],
)  # the project's table of blends: area against 16/10, oil not burnt
def test_the_table_of_blends(nitro: float, oil: float, percent: float) -> None:
    span = shift(conditions(nitro=nitro, oil=oil), conditions(nitro=0.16)).percent()
    assert min(abs(end - percent) for end in span) < 0.06


def test_burnt_oil_gives_the_smaller_estimate() -> None:
    change = shift(conditions(nitro=0.25), conditions(nitro=0.16)).percent()
    assert change == pytest.approx((7.7, 9.5), abs=0.05)


@given(AIRS, AIRS)
def test_there_and_back_cancels(one: Air, other: Air) -> None:
    assert suction(one, other) * suction(other, one) == pytest.approx(1)
    assert pressurised(one, other) * pressurised(other, one) == pytest.approx(1)


@given(AIRS, BLENDS, AIRS, BLENDS, st.floats(0, 6), st.floats(0, 6))
def test_causes_multiply_and_spans_are_in_order(
    air: Air, blend: Blend, old_air: Air, old_blend: Blend, one: float, two: float
) -> None:
    change = shift(Conditions(air, blend), Conditions(old_air, old_blend))
    both, drawn = change.area(), change.area(only="air")
    fuel = change.area(only="fuel")
    assert both.low == pytest.approx(drawn.low * fuel.low)
    assert both.high == pytest.approx(drawn.high * fuel.high)
    hours = change.hours(NeedleOpening(min(one, two), max(one, two), ""))
    assert hours.low <= hours.high
    for feed in ("suction", "pressurised"):
        inner = change.hours(NeedleOpening(min(one, two), max(one, two), ""), (feed,))
        assert hours.low <= inner.low <= inner.high <= hours.high


@given(AIRS, st.floats(0.5, 10), st.floats(100, 3000))
def test_hotter_or_lower_pressure_never_asks_for_more_by_suction(air: Air, warmer: float, less: float) -> None:
    assert suction(Air(air.temperature + warmer, air.pressure, air.humidity), air) < 1
    assert suction(Air(air.temperature, air.pressure - less, air.humidity), air) < 1


def test_what_is_not_known_is_named_and_asks_for_nothing() -> None:
    change = shift(conditions(Air(20, 100_000, 0)), conditions(nitro=0.25))
    assert change.unknown == ("air", "fuel")
    assert change.percent() == Span(0, 0)


def test_the_opening_names_what_it_assumes() -> None:
    assert opening(36, offset=6) == NeedleOpening(2.5, 2.5, "Fuel begins to flow 6 hours out from gently closed.")
    assumed = opening(36)
    assert (assumed.least, assumed.most) == (2.5, 3)
    assert "assumed" in assumed.assumed
    assert opening(3).least == 0
    uncounted = opening(None, "low needle")
    assert uncounted.least < uncounted.most
    assert "low needle" in uncounted.assumed


@pytest.mark.parametrize("nonsense", [0.0, -1.0, math.nan, math.inf])
def test_an_opening_that_no_engine_has_is_refused(nonsense: float) -> None:
    with pytest.raises(DiagnoseError, match="high needle"):
        opening(nonsense)


@pytest.mark.parametrize("nonsense", [-1.0, 36.0, 40.0, math.nan])
def test_an_offset_past_the_needle_is_refused(nonsense: float) -> None:
    with pytest.raises(DiagnoseError, match="begins to flow"):
        opening(36, offset=nonsense)


@pytest.mark.parametrize("nonsense", [math.nan, -300.0, 1000.0])
def test_a_head_that_no_engine_has_is_refused(nonsense: float) -> None:
    with pytest.raises(DiagnoseError, match="head temperature"):
        Conditions(head=nonsense)


@pytest.mark.parametrize(
    "nonsense",
    [
        Air(math.nan, 101_325, 0.5),
        Air(20, 0, 0.5),
        Air(20, -5, 0.5),
        Air(-273.15, 101_325, 0.5),
        Air(20, math.inf, 0.5),
    ],
)
def test_air_that_can_not_be_is_refused_on_either_side(nonsense: Air) -> None:
    fine = Air(20, 101_325, 0.5)
    for new, old in ((nonsense, fine), (fine, nonsense)):
        with pytest.raises(DiagnoseError, match="the air's temperature"):
            shift(Conditions(new), Conditions(old))


@pytest.mark.parametrize("nonsense", [Blend(math.nan, 0.1), Blend(0.0, 1.0), Blend(-9.0, 0.1), Blend(0.1, 9.0)])
def test_what_is_no_fuel_is_refused_on_either_side(nonsense: Blend) -> None:
    for new, old in ((nonsense, Blend(0.16, 0.1)), (Blend(0.16, 0.1), nonsense)):
        with pytest.raises(DiagnoseError, match="the fuel's nitro and oil"):
            shift(Conditions(fuel=new), Conditions(fuel=old))
