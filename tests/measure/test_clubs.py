"""Simulated clubs: their own frequencies, their wrong entries, and the figures of what learning is worth."""

from __future__ import annotations

import pytest
from shipped import load

from diagnose.measure.clubs import FILES, Clubs, falsified, helping, name, outcome, own_world, report
from diagnose.reason.confirmed import CuredBy

KNOWLEDGE = load()
ENDS = [CuredBy("overheats", "fins-packed"), None] * 200


def test_a_club_has_its_own_frequencies_and_the_same_knowledge() -> None:
    one, again = own_world(KNOWLEDGE, "a", 1.0), own_world(KNOWLEDGE, "a", 1.0)
    assert one == again
    assert one.faults == KNOWLEDGE.faults
    times = {fault: row.often / KNOWLEDGE.simulated_faults[fault].often for fault, row in one.simulated_faults.items()}
    assert min(times.values()) < 0.5
    assert max(times.values()) > 2
    assert own_world(KNOWLEDGE, "a", 0.0).simulated_faults == KNOWLEDGE.simulated_faults


def test_the_share_of_wrong_entries_is_as_said_and_each_names_another_fault_of_the_symptom() -> None:
    wrong = falsified(ENDS, 0.2, KNOWLEDGE, "a")
    changed = [end for end, was in zip(wrong, ENDS, strict=True) if end != was]
    assert len(changed) == pytest.approx(40, abs=15)
    assert all(end is not None and "overheats" in KNOWLEDGE.faults[end.fault].explains for end in changed)
    assert falsified(ENDS, 0.0, KNOWLEDGE, "a") == ENDS


def test_only_what_helps_is_learned_from() -> None:
    counts = {"overheats": {"fins-packed": 30}, "revs-hang": {"air-filter-torn": 1}}
    assert helping(counts, KNOWLEDGE, 20.0).counts == {"overheats": {"fins-packed": 30}}


@pytest.mark.slow
def test_a_small_measurement_comes_out_the_same_again_and_tells_every_figure() -> None:
    plan = Clubs("a", 1, (4, 8), 3)
    found = outcome(KNOWLEDGE, plan, 0)
    assert found == outcome(KNOWLEDGE, plan, 0)
    told = report(plan, [found])
    ways = [name(outings, wrong) for wrong in (0.0, 0.2) for outings in (4, 8)]
    assert list(told.minutes) == ways
    assert list(told.cured) == [FILES, *ways]
    assert told.confirmed.over == 8
    first = told.minutes[ways[0]].value
    assert first == pytest.approx(sum(found.learned[ways[0]]) / sum(found.files))
