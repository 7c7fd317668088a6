"""The mission's own figure: why a needle was turned at a mechanical fault."""

from __future__ import annotations

import pytest
from shipped import load

from diagnose.graph.model import Variant
from diagnose.practice.early import REASONS, Early, why_early
from diagnose.reason import events as ev
from diagnose.reason.walk import Walk, begin

KNOWLEDGE = load()


def walked(symptom: str, **answers: str) -> Walk:
    walk = begin(KNOWLEDGE, ev.Started(0, "", symptom, "", Variant()))
    for number, (check, answer) in enumerate(answers.items(), 1):
        walk = walk.plus(ev.Answered(number, check.replace("_", "-"), answer))
    return walk


def clearing(fault: str) -> str:
    """Return a first look that can show the fault, before which nothing has to be done."""
    walk = walked("revs-hang")
    return next(
        name for name, check in walk.scope.checks.items() if fault in walk.scope.clears(name) and not check.runs
    )


def test_a_look_that_came_out_healthy_missed_it() -> None:
    check = clearing("pressure-line-off")
    walk = walked("revs-hang", **{check.replace("-", "_"): KNOWLEDGE.checks[check].healthy})
    assert why_early(walk, "pressure-line-off") == "every look missed it"


def test_a_look_that_accused_it_was_argued_away() -> None:
    check = clearing("pressure-line-off")
    bad = next(
        name
        for name, said in KNOWLEDGE.checks[check].answers.items()
        if "pressure-line-off" in said.names and not said.healthy
    )
    assert (
        why_early(walked("revs-hang", **{check.replace("-", "_"): bad}), "pressure-line-off")
        == "seen, then argued away"
    )


def test_a_fault_that_the_complaint_does_not_name_is_not_listed() -> None:
    unlisted = next(
        name
        for name, fault in KNOWLEDGE.faults.items()
        if fault.mechanical and "revs-hang" not in fault.explains and fault.first_look == "owed"
    )
    assert why_early(walked("revs-hang"), unlisted) == "not listed for this complaint"


@pytest.mark.parametrize(
    ("first_look", "reason"), [("none", "only a strip-down shows it"), ("owed", "no look was made for it")]
)
def test_a_listed_fault_without_a_look_waits_for_one(first_look: str, reason: Early) -> None:
    listed = next(
        name
        for name, fault in KNOWLEDGE.faults.items()
        if fault.mechanical and "revs-hang" in fault.explains and fault.first_look == first_look
    )
    assert why_early(walked("revs-hang"), listed) == reason
    assert reason in REASONS
