"""The figures beside the proof."""

from __future__ import annotations

import pytest
from little import knowledge

from diagnose.graph.model import Variant
from diagnose.measure.testability import fractions, measure, owed_minutes


def test_the_fractions_come_out_as_in_the_worked_example() -> None:
    # P = .4, .3, .2, .1 with signatures 10, 11, 11, 00: FFD .9, FFI(1) .444, FFI(2) 1, expected size 1.556
    # (definitions of IEEE 1522-2004 as mapped in dsiintl.com's public help; recomputed for this project).
    weights = {"a": 0.4, "b": 0.3, "c": 0.2, "d": 0.1}
    found = fractions(weights, {"a": "10", "b": "11", "c": "11", "d": "00"}, silent="00")
    assert found.detected == pytest.approx(0.9)
    assert found.isolated_one == pytest.approx(0.444, abs=1e-3)
    assert found.isolated_two == pytest.approx(1)
    assert found.group_size == pytest.approx(1.556, abs=1e-3)


def test_nothing_detected_isolates_nothing() -> None:
    assert fractions({"a": 1.0}, {"a": None}).detected == 0


def test_every_fault_of_the_little_knowledge_is_detected_but_what_the_route_leaves_out() -> None:
    found = measure(knowledge(), "loads-up", Variant())
    assert found is not None
    # low-lean (weight 1 of 25) is never turned on this route, and dirt (6) only after an hour on the needle
    assert found.detected == pytest.approx(18 / 25)
    assert found.isolated_one == pytest.approx(1)
    assert found.minutes > 0


def test_the_minutes_owed_count_guards_and_bench_states_but_not_warming_up() -> None:
    # barrel 1, fail-safe 1, hold 2, then onto the stand ½: new plug 3, bubbles ½, and back from it ½ = 8½
    assert owed_minutes(knowledge(), "loads-up", Variant()) == pytest.approx(8.5)


def test_a_symptom_without_faults_has_no_figures() -> None:
    assert measure(knowledge(faults={}), "loads-up", Variant()) is None
