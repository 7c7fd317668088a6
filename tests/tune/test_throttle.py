"""From the radio's pulse to the opening of the slide, against computed values and geometry."""

from __future__ import annotations

from itertools import pairwise
from math import degrees, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from diagnose.tune.throttle import (
    DEAD_BAND,
    NEUTRAL,
    PER_PERCENT,
    angle,
    arc,
    ends,
    opening,
    percent,
    problem,
    pulse,
    pulse_for,
    worth,
)

BORE, GAP, HORN = 0.007, 0.0007, 0.012

pulses = st.floats(1000, 2000)
bores = st.floats(0.004, 0.012)
horns = st.floats(0.008, 0.02)
shares = st.floats(0.02, 0.9)


def test_pulses_and_angles_are_the_usual_ones() -> None:
    # published: 1000, 1500 and 2000 µs, and 45° for 500 µs as one servo library has it
    assert [pulse(p) for p in (-100, 0, 100)] == [1000, 1500, 2000]
    assert [degrees(angle(us)) for us in (1000, 1500, 2000)] == pytest.approx([-45, 0, 45])
    assert pulse(50, end_point=80, subtrim=-20) == 1680  # 1500 - 20 + 5 · 50 · 0.8


@pytest.mark.parametrize(("millimetres", "per_cent"), [(0.5, 3.2), (0.7, 5.2), (1.0, 8.8)])
def test_the_opening_is_as_computed(millimetres: float, per_cent: float) -> None:
    # a bore of 7 mm: computed for this project by another program
    share = opening(BORE, millimetres / 1000) / opening(BORE, BORE)
    assert share * 100 == pytest.approx(per_cent, abs=0.05)


@pytest.mark.parametrize(("moved", "per_cent"), [(PER_PERCENT, 20), (2, 8), (8, 33)])
def test_a_step_of_trim_and_a_dead_band_are_worth_as_computed(moved: float, per_cent: float) -> None:
    # a gap of 0.7 mm in a bore of 7 mm, horn 12 mm: computed for this project by another program
    assert worth(moved, BORE, GAP, HORN) * 100 == pytest.approx(per_cent, abs=0.5)


def test_a_usual_dead_band_is_a_fifth_of_the_idle_air() -> None:
    assert worth(DEAD_BAND, BORE, GAP, HORN) == pytest.approx(0.2, abs=0.005)


@given(bores, st.floats(0.01, 0.99))
def test_the_opening_is_the_integral_of_the_bores_chord(bore: float, share: float) -> None:
    # scipy's quadrature of the width of the circle
    radius = bore / 2
    area, _ = quad(lambda y: 2 * (radius**2 - (radius - y) ** 2) ** 0.5, 0, share * bore, epsabs=0, epsrel=1e-9)
    assert opening(bore, share * bore) == pytest.approx(area, rel=1e-6)


@given(bores)
def test_a_slide_is_shut_at_nothing_and_cannot_open_more_than_the_bore(bore: float) -> None:
    assert opening(bore, 0) == pytest.approx(0, abs=1e-15)
    assert opening(bore, -0.001) == pytest.approx(0, abs=1e-15)
    assert opening(bore, bore) == pytest.approx(pi * bore**2 / 4)
    assert opening(bore, 2 * bore) == opening(bore, bore)
    assert opening(bore, bore / 2) == pytest.approx(pi * bore**2 / 8)


@given(bores, st.floats(0.01, 0.9), st.floats(0.001, 0.1))
def test_a_wider_gap_lets_more_air_in(bore: float, share: float, more: float) -> None:
    assert opening(bore, (share + more) * bore) > opening(bore, share * bore)


@given(horns, pulses, pulses)
def test_the_pulse_for_a_travel_makes_that_travel(horn: float, rest: float, end: float) -> None:
    travel = arc(horn, angle(end)) - arc(horn, angle(rest))
    assert pulse_for(travel, horn, rest) == pytest.approx(end, abs=1e-6)


@given(pulses)
def test_per_cent_and_back_is_the_same_pulse(microseconds: float) -> None:
    assert pulse(100, percent(microseconds)) == pytest.approx(microseconds)


@given(bores, shares, horns, st.floats(0.5, 20))
def test_trim_towards_open_gives_air_and_a_narrower_gap_makes_it_worse(
    bore: float, share: float, horn: float, moved: float
) -> None:
    gap = share * bore / 2
    assert worth(moved, bore, gap, horn) > 0
    assert worth(-moved, bore, gap, horn) < 0
    assert worth(moved, bore, gap / 2, horn) > worth(moved, bore, gap, horn)
    assert worth(moved, bore, gap, horn * 1.5) > worth(moved, bore, gap, horn)


def test_away_from_neutral_the_same_trim_moves_the_slide_less() -> None:
    steps = [worth(PER_PERCENT, BORE, GAP, HORN, rest) for rest in (1500, 1700, 1900)]
    assert all(later < earlier for earlier, later in pairwise(steps))


def test_an_end_point_beyond_the_bore_overdrives_the_slide() -> None:
    # 12 mm · sin 45° = 8.485 mm, and there are 7 - 0.7 = 6.3 mm to go: by hand
    found = ends(BORE, GAP, HORN, full=2000, shut=1500)
    assert found.past_open == pytest.approx(0.002185, abs=1e-6)
    assert found.past_stop == 0
    assert found.full is not None
    assert ends(BORE, GAP, HORN, full=found.full, shut=NEUTRAL).past_open == pytest.approx(0, abs=1e-12)
    assert percent(found.full) == pytest.approx(70.4, abs=0.1)  # asin(6.3/12) = 31.67°, at 0.45° for one per cent


@given(bores, shares, horns, pulses, pulses)
def test_the_slide_is_past_its_stop_only_when_the_pulse_goes_below_rest(
    bore: float, share: float, horn: float, full: float, shut: float
) -> None:
    found = ends(bore, share * bore, horn, full, shut)
    assert (found.past_stop > 0) == (shut < NEUTRAL)
    opened = share * bore + arc(horn, angle(full))
    assert found.past_open == pytest.approx(opened - bore)


def test_a_horn_too_short_for_the_bore_has_no_end_point() -> None:
    assert ends(0.012, 0.0005, 0.006, 2000, 1000).full is None
    assert pulse_for(0.02, 0.01) is None


@given(bores, shares, horns)
def test_lengths_of_the_trade_are_taken(bore: float, share: float, horn: float) -> None:
    assert problem(bore, share * bore, horn) is None


@pytest.mark.parametrize(
    ("bore", "gap", "horn", "words"),
    [
        (7, GAP, HORN, "not 7000 mm"),
        (BORE, 0, HORN, "A gap of 0 mm"),
        (BORE, 0.008, HORN, "not between shut and the bore"),
        (BORE, GAP, 0.12, "not 120 mm"),
        (float("nan"), GAP, HORN, "bore"),
        (BORE, float("nan"), HORN, "gap"),
        (BORE, GAP, float("inf"), "horn"),
    ],
)
def test_lengths_that_cannot_be_are_refused_with_the_reason(bore: float, gap: float, horn: float, words: str) -> None:
    assert words in (problem(bore, gap, horn) or "")
