"""What practice does for a learner, against a statistics library."""

from __future__ import annotations

import pytest
from scipy.stats import binomtest
from shipped import load

from diagnose.practice.effect import FEWEST, SURE, Pair, by_chance, effect, pairs
from diagnose.practice.way import DonePractice

KNOWLEDGE = load()
AREA = "ignition"
FIRST, SECOND = [name for name, one in KNOWLEDGE.faults.items() if one.area == AREA][:2]


def practised(fault: str = FIRST, minutes: float = 20, hazards: int | None = 1, shown: int = 0) -> DonePractice:
    return DonePractice("x", (fault,), "", "cured", minutes, 10, hazards, 0, (fault,), shown)


@pytest.mark.parametrize(("fewer", "more"), [(0, 0), (1, 0), (5, 0), (6, 0), (3, 4), (9, 1), (2, 11)])
def test_the_sign_test_is_that_of_a_statistics_library(fewer: int, more: int) -> None:
    # scipy.stats.binomtest, two-sided, p = 1/2; nothing to test is no evidence
    expected = binomtest(fewer, fewer + more).pvalue if fewer + more else 1.0
    assert by_chance(fewer, more) == pytest.approx(expected)


def test_below_six_pairs_no_outcome_could_say_anything() -> None:
    assert binomtest(FEWEST - 1, FEWEST - 1).pvalue >= SURE > binomtest(FEWEST, FEWEST).pvalue


@pytest.mark.parametrize(("count", "told"), [(1, "too few"), (FEWEST - 1, "too few"), (FEWEST, "less")])
def test_few_pairs_are_too_few_to_say(count: int, told: str) -> None:
    found = effect([Pair(AREA, practised(), practised(SECOND, 12, 0))] * count)
    assert found.minutes is not None
    assert (found.minutes.first, found.minutes.second, found.minutes.change) == (2.0, 1.2, told)
    assert found.early is not None
    assert found.early.change == ("too few" if count < FEWEST else "none")


def test_a_pair_is_two_faults_of_one_area_each_worked_at_alone() -> None:
    first, again, second = practised(), practised(minutes=15), practised(SECOND)
    assert pairs(KNOWLEDGE, [first, again, second]) == (Pair(AREA, first, second),)
    assert pairs(KNOWLEDGE, [first, again]) == ()
    assert pairs(KNOWLEDGE, [practised(shown=3), second]) == ()
    assert pairs(KNOWLEDGE, [practised(hazards=None), second]) == ()  # from before that was counted
    assert effect([]).minutes is None
