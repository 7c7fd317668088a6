"""Sums of probabilities are off by rounding: that decides nothing."""

from __future__ import annotations

from diagnose.graph.model.check import well_shown


def test_five_times_is_five_times_whatever_the_rounding() -> None:
    otherwise = 0.1 + 0.05  # a little more than 0.15
    assert 5 * otherwise > 0.75
    assert well_shown(0.75, otherwise)
    assert well_shown(0.35 + 0.2 + 0.1, 0.01)
    assert not well_shown(0.649, 0.01)
    assert not well_shown(0.75, 0.151)
