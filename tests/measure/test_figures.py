"""Intervals, against published or independently computed values."""

from __future__ import annotations

import pytest
from scipy.stats import binomtest

from diagnose.measure.figures import mean, ratio, share


@pytest.mark.parametrize(("count", "over"), [(0, 20), (3, 20), (437, 980), (20, 20), (1, 10_000)])
def test_a_share_has_wilsons_interval_as_scipy_has_it(count: int, over: int) -> None:
    found = share(count, over)
    expected = binomtest(count, over).proportion_ci(0.95, method="wilson")
    assert found.value == count / over
    assert (found.low, found.high) == pytest.approx((expected.low, expected.high), abs=1e-6)


def test_a_share_of_nothing_is_anything() -> None:
    found = share(0, 0)
    assert (found.low, found.high, found.over) == (0.0, 1.0, 0)


def test_a_ratio_is_of_the_sums_and_its_interval_holds_it() -> None:
    ours, theirs = [float(i % 7 + 5) for i in range(300)], [float(i % 5 + 8) for i in range(300)]
    found = ratio(ours, theirs, "1")
    assert found.value == pytest.approx(sum(ours) / sum(theirs))
    assert found.low < found.value < found.high
    assert found.high - found.low < 0.1
    assert ratio(ours, theirs, "1") == found


def test_the_mean_of_one_number_has_no_spread() -> None:
    assert mean([4.0] * 10, "1").low == mean([4.0] * 10, "1").high == 4.0


def test_the_bootstrap_covers_the_normal_interval_of_a_mean() -> None:
    """Over many numbers the percentile bootstrap comes near to mean ± 1.96 s/√n."""
    values = [float(i % 20) for i in range(2000)]
    found = mean(values, "5")
    half = 1.96 * 5.766 / 2000**0.5  # the standard deviation of 0 to 19 is 5.766
    assert found.low == pytest.approx(9.5 - half, abs=0.06)
    assert found.high == pytest.approx(9.5 + half, abs=0.06)


def test_a_ratio_over_nothing_is_nothing() -> None:
    assert ratio([], [], "1").over == 0
