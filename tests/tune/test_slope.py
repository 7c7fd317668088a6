"""The engine's own slope: published values of the method, and what a short or a spoiled log may say."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.errors import DiagnoseError
from diagnose.tune.air import Air, dry_density
from diagnose.tune.fuel import Blend
from diagnose.tune.mixture import Conditions
from diagnose.tune.needles import Baseline, Good, LedgerEntry, Turned, WentBack, closed, flush
from diagnose.tune.slope import Logged, learn, least_squares, logged, shrunk, theil_sen

# A synthetic log of the project: densities in kg/m³ and turns, the fifth one spoiled.
DENSITIES = [1.10, 1.13, 1.15, 1.18, 1.20, 1.23]
TURNS = [2.75, 2.83, 2.83, 3.00, 2.50, 3.08]
SPOILED = [Logged(float(n), d, t) for n, (d, t) in enumerate(zip(DENSITIES, TURNS, strict=True))]
CLEAN = [tune for tune in SPOILED if tune.turns != 2.50]

WEAK, STRONG = Blend(0.16, 0.10), Blend(0.25, 0.10)
MILD, COLD = Air(20, 101_325, 0.5), Air(5, 103_000, 0.4)


def power(n: float, densities: list[float]) -> list[Logged]:
    return [Logged(0.0, d, 3 * (d / 1.17) ** n) for d in densities]


def test_the_published_example_of_the_robust_line() -> None:
    """Sen 1968, as in the tests of a statistics library: slope 4.0, 93 % interval 3.71 to 4.38."""
    line = theil_sen([1, 2, 3, 4, 10, 12, 18], [9, 15, 19, 20, 45, 55, 78], 0.93)
    assert line.slope == 4
    assert (line.low, line.high) == pytest.approx((3.714, 4.375), abs=0.001)


def test_the_synthetic_log_by_both_lines() -> None:
    """Computed for the project with the same library: 2.50 turns per kg/m³, 2.93 at 1.17; −6.6 to 5.7 at 95 %.

    Least squares gives 1.10 and 2.84: it is bent by the one entry.
    """
    line = theil_sen(DENSITIES, TURNS)
    assert line.slope == pytest.approx(2.50)
    assert line.intercept + 1.17 * line.slope == pytest.approx(2.93, abs=0.005)
    assert (line.low, line.high) == pytest.approx((-6.6, 5.667), abs=0.001)
    slope, _ = least_squares(DENSITIES, TURNS, 0.015)
    assert slope == pytest.approx(1.10, abs=0.005)
    assert sum(TURNS) / 6 + slope * (1.17 - sum(DENSITIES) / 6) == pytest.approx(2.84, abs=0.005)


def test_without_the_outlier_it_shrinks_towards_the_prior() -> None:
    """Computed for the project: log-log slope 1.07 ± 0.18 at a scatter of 1.5 %, posterior 0.88 ± 0.14."""
    slope, error = least_squares([math.log(t.density) for t in CLEAN], [math.log(t.turns) for t in CLEAN], 0.015)
    assert (slope, error) == pytest.approx((1.07, 0.18), abs=0.006)
    assert shrunk(slope, error) == pytest.approx((0.88, 0.14), abs=0.005)
    found = learn(CLEAN)
    assert (found.value, found.error) == pytest.approx((0.88, 0.14), abs=0.005)
    assert (found.low, found.high) == pytest.approx((0.60, 1.16), abs=0.01)


def test_six_points_with_an_outlier_do_not_even_fix_the_sign() -> None:
    found = learn(SPOILED)
    assert found.alone[0] < 0 < found.alone[1]
    assert not found.enough
    assert found.said.startswith("Not enough yet: 6 good tunes alone leave n anywhere from -2.9 to 2.3")


def test_one_bad_entry_is_left_out_and_moves_nothing() -> None:
    found = learn(SPOILED)
    assert found.left_out == (SPOILED[4],)
    assert "left out" in found.said
    assert (found.value, found.error) == pytest.approx((learn(CLEAN).value, learn(CLEAN).error))


def test_a_long_log_is_enough_and_finds_the_exponent() -> None:
    densities = [1.05 + 0.01 * n for n in range(20)]
    found = learn(power(0.5, densities))
    assert found.enough
    assert found.value == pytest.approx(0.5)
    assert found.said.startswith("From 20 good tunes: air 10 % denser opens this needle by 5 % (n is 0.50, 0.3")
    assert found.turns(1.17) == pytest.approx(3)


def test_a_steep_log_outweighs_the_prior_only_in_part() -> None:
    found = learn(power(1.0, [1.05 + 0.01 * n for n in range(20)]))
    assert 0.9 < found.value < 1


@pytest.mark.parametrize("tunes", [[], CLEAN[:1], CLEAN[:2], CLEAN[:4], [CLEAN[0]] * 9])
def test_a_short_log_says_not_enough_yet(tunes: list[Logged]) -> None:
    found = learn(tunes)
    assert not found.enough
    assert found.said.startswith("Not enough yet")
    assert found.alone == (-math.inf, math.inf)


def test_an_empty_log_leaves_what_physics_expects() -> None:
    found = learn([])
    assert (found.value, found.error, found.turns(1.17)) == (0.5, 0.25, None)


def test_one_tune_is_drawn_with_the_slope_that_physics_expects() -> None:
    found = learn([Logged(0.0, 1.0, 3.0)])
    assert found.turns(1.21) == pytest.approx(3.3)


def test_a_needle_that_went_the_other_way_is_not_enough_and_says_so() -> None:
    found = learn(power(-0.8, [1.05 + 0.01 * n for n in range(20)]))
    assert not found.enough
    assert "Something else changed" in found.said


@given(st.floats(0, 1.2), st.integers(0, 19), st.floats(0.5, 2))
def test_any_one_bad_entry_hardly_moves_a_long_log(n: float, where: int, factor: float) -> None:
    tunes = power(n, [1.05 + 0.01 * k for k in range(20)])
    spoiled = [*tunes]
    spoiled[where] = Logged(0.0, tunes[where].density, tunes[where].turns * factor)
    assert learn(spoiled).value == pytest.approx(learn(tunes).value, abs=0.15)


@given(st.lists(st.builds(Logged, st.just(0.0), st.floats(0.7, 1.4), st.floats(0.1, 6)), max_size=12))
def test_the_interval_holds_the_estimate_and_is_never_wider_than_the_prior(tunes: list[Logged]) -> None:
    found = learn(tunes)
    assert found.low < found.value < found.high
    assert 0 < found.error <= 0.25 + 1e-9
    assert found.enough == (found.alone[0] > 0)
    expected = found.turns(1.17)
    assert (expected is None) == (not tunes)
    assert expected is None or expected > 0


def test_only_tunes_of_the_newest_fuel_and_plug_are_taken() -> None:
    entries: list[LedgerEntry] = [
        Baseline(0.0, {"high needle": closed(36)}),
        Good(1.0, Conditions(MILD, WEAK), "cold"),
        Good(2.0, Conditions(MILD, STRONG), "medium"),
        Turned(3.0, "high needle", "richer", 1),
        Good(4.0, Conditions(COLD, WEAK), "medium"),
        Good(5.0, Conditions(None, WEAK), "medium"),
        Good(6.0, Conditions(MILD), "medium"),
        WentBack(7.0, {"high needle": closed(36)}),
        Good(8.0, Conditions(MILD, WEAK), "medium"),
    ]
    assert logged(entries, offset=6) == (
        Logged(4.0, dry_density(COLD), 31 / 12),
        Logged(8.0, dry_density(MILD), 2.5),
    )


def test_a_needle_that_was_not_counted_from_closed_is_not_logged() -> None:
    entries: list[LedgerEntry] = [Baseline(0.0, {"high needle": flush(3)}), Good(1.0, Conditions(MILD, WEAK))]
    assert logged(entries) == ()


@pytest.mark.parametrize("nonsense", [0.0, -1.0, math.nan, math.inf])
def test_a_tune_without_density_or_opening_is_refused(nonsense: float) -> None:
    with pytest.raises(DiagnoseError, match="more than 0"):
        Logged(0.0, nonsense, 3.0)
    with pytest.raises(DiagnoseError, match="more than 0"):
        Logged(0.0, 1.2, nonsense)


def test_a_line_through_one_day_is_refused() -> None:
    for line in (lambda: theil_sen([1.2, 1.2], [1, 2]), lambda: least_squares([1.2, 1.2], [1, 2], 0.015)):
        with pytest.raises(DiagnoseError, match="two different days"):
            line()
