"""What a fault explains, held against what the simulated engine shows of it."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from shipped import load

from diagnose.graph.model import Exceptions
from diagnose.measure.explained import Compared, compared, shares

KNOWLEDGE = load()
FEW = 20
"""Engines, where it does not matter how rarely a complaint shows."""

pytestmark = pytest.mark.slow


@pytest.mark.parametrize("fault", KNOWLEDGE.simulated_faults)
def test_what_the_simulated_engine_shows_of_a_fault_is_listed_and_what_is_listed_shows(fault: str) -> None:
    found = list(compared(fault, KNOWLEDGE))
    differ = [f"{one.symptom}: shows on {one.share:.0%}" for one in found if one.differs and not one.excepted]
    assert differ == [], "list it under 'explains:', or give its reason in simulated/exceptions.yaml"
    assert [one.symptom for one in found if one.gone] == [], "the two agree: take it out of simulated/exceptions.yaml"


def test_an_exception_is_about_a_fault_that_the_simulated_engine_has() -> None:
    named = {fault for entry in KNOWLEDGE.simulated_exceptions.values() for fault in entry.of}
    assert named <= KNOWLEDGE.simulated_faults.keys()


def test_an_exception_and_the_knowledge_agree_on_what_is_listed() -> None:
    wrong = [
        f"{name}: {fault} and {symptom}"
        for name, entry in KNOWLEDGE.simulated_exceptions.items()
        for fault, symptoms in entry.of.items()
        for symptom in symptoms
        if (symptom in KNOWLEDGE.faults[fault].explains) != entry.listed
    ]
    assert wrong == []


@pytest.mark.parametrize("fault", KNOWLEDGE.simulated_exceptions["at-its-worst-only"].of)
def test_what_is_excused_as_the_worst_of_a_fault_shows_on_fewer_than_one_engine_in_ten(fault: str) -> None:
    found = shares(fault, KNOWLEDGE)
    symptoms = KNOWLEDGE.simulated_exceptions["at-its-worst-only"].of[fault]
    assert {symptom: found.get(symptom, 0.0) for symptom in symptoms if found.get(symptom, 0.0) >= 0.1} == {}


def without(fault: str, symptom: str) -> dict[str, Compared]:
    """Return how the two have a fault that no longer explains a symptom."""
    explains = {name: weight for name, weight in KNOWLEDGE.faults[fault].explains.items() if name != symptom}
    faults = {**KNOWLEDGE.faults, fault: replace(KNOWLEDGE.faults[fault], explains=explains)}
    found = compared(fault, replace(KNOWLEDGE, faults=faults), FEW)
    return {one.symptom: one for one in found}


def test_a_complaint_that_shows_and_is_taken_off_the_list_is_found() -> None:
    one = without("clutch-slips", "revs-but-does-not-pull")["revs-but-does-not-pull"]
    assert one.differs
    assert not one.excepted


def test_a_complaint_that_is_listed_and_never_shows_is_found_unless_it_is_meant() -> None:
    explains = {**KNOWLEDGE.faults["fins-packed"].explains, "kicks-back": 1.0}
    faults = {**KNOWLEDGE.faults, "fins-packed": replace(KNOWLEDGE.faults["fins-packed"], explains=explains)}
    claims = replace(KNOWLEDGE, faults=faults)
    kicks = {one.symptom: one for one in compared("fins-packed", claims, FEW)}["kicks-back"]
    assert kicks.differs
    assert not kicks.excepted
    meant = Exceptions(True, "A reason.", {"fins-packed": ("kicks-back", "overheats")})
    excepted = {
        one.symptom: one for one in compared("fins-packed", replace(claims, simulated_exceptions={"meant": meant}), FEW)
    }
    assert excepted["kicks-back"].excepted
    assert not excepted["kicks-back"].gone
    assert excepted["overheats"].gone  # it is listed, and shows


def test_the_same_engines_are_drawn_each_time() -> None:
    assert shares("plug-loose", KNOWLEDGE, FEW) == shares("plug-loose", KNOWLEDGE, FEW)


def test_an_engine_that_kicks_back_and_still_runs_shows_both() -> None:
    found = shares("head-shims-wrong", KNOWLEDGE, FEW)
    assert found["kicks-back"] > 0.3
    assert found["eats-plugs"] > 0.3


def test_a_clutch_that_drags_at_idle_takes_nothing_from_the_top_end() -> None:
    assert "will-not-rev-out" not in shares("clutch-drags", KNOWLEDGE, FEW)
    assert shares("clutch-drags", KNOWLEDGE, FEW)["bogs-off-the-line"] > 0.1
