"""What hands did in a worked case: a screw that nothing called for, a mend in vain, a way back nobody expected."""

from __future__ import annotations

from typing import Any

import msgspec
from shipped import load

from diagnose.graph.model import Case
from diagnose.reason.cases import CaseRun, check_expectation, inline_engine, run_case
from diagnose.reason.hands import otherwise

KNOWLEDGE = load()
LEAN = {
    "smoke-on-the-straight": "thin smoke",
    "plug-after-full-run": "pale and dull",
    "coil-by-eye": "pale or sandblasted",
}


def case(expect: dict[str, Any], **written: Any) -> Case:
    return msgspec.convert({"symptom": "cuts-on-the-straight", "answers": LEAN, "expect": expect, **written}, Case)


def run(one: Case) -> CaseRun:
    assert isinstance(one.engine, dict)
    engine = inline_engine(one.engine)
    return run_case(KNOWLEDGE, one, engine.variant, engine)


def told(expect: dict[str, Any], **written: Any) -> list[str]:
    one = case(expect, **written)
    return list(otherwise(KNOWLEDGE, one, run(one)))


TURNED = {"verdict": "cured", "adjustments": 1}


def test_a_turn_that_a_true_fault_calls_for_needs_no_word() -> None:
    assert told(TURNED, faults=[{"high-needle-lean": 1}]) == []


def test_a_turn_that_cures_nothing_is_told_unless_the_case_means_it() -> None:
    assert told(TURNED) == [
        "the high needle richer cures nothing that is wrong here; where it is meant, the case says "
        "'turned: [high needle richer]'"
    ]
    assert told({**TURNED, "turned": ["high needle richer"] * 2}) == []


def test_another_turn_than_the_case_means_is_told() -> None:
    assert told({**TURNED, "turned": ["low needle richer"]}) == [
        "turned: high needle richer, high needle richer; expected: low needle richer"
    ]


def test_going_back_to_the_record_is_told_both_ways() -> None:
    recorded = {"engine": {"recorded": True}, "faults": [{"high-needle-lean": 1}], "answers": {}}
    went = "the screws went back to the record, and the case says 'back: false'"
    assert told({"verdict": "cured"}, **recorded) == [went]
    assert told({"verdict": "cured", "back": True}, **recorded) == []
    assert told({**TURNED, "back": True}, faults=[{"high-needle-lean": 1}]) == [
        "the screws did not go back to the record, and the case says 'back: true'"
    ]


def test_a_mend_in_vain_is_told_both_ways() -> None:
    misled = {
        "answers": {"press-and-pinch": "weak stream", "hold-and-stream": "weak stream", "pick-up-tilt": "air early"},
        "faults": ["pick-up-split"],
    }
    found = {"verdict": "cured", "mended": ["pick-up-split"]}
    vain = told(found, **misled)
    assert vain == ["mended in vain: fuel-filter-blocked; expected: nothing"]
    assert told({**found, "in vain": ["fuel-filter-blocked"]}, **misled) == []
    assert told({**TURNED, "in vain": ["fuel-old"]}, faults=[{"high-needle-lean": 1}]) == [
        "mended in vain: nothing; expected: fuel-old"
    ]


def test_what_is_mended_is_all_that_is_mended_and_in_order() -> None:
    leaks = {"answers": {"hold-and-stream": "bleeds away", "along-the-lines": "pressure line bad"}}
    true = {**leaks, "faults": ["pressure-line-off"]}
    one = case({"verdict": "cured"}, **true)
    assert check_expectation(one, run(one)) == ["mended: pressure-line-off; expected: nothing"]
    assert check_expectation(case({"verdict": "cured", "mended": ["pressure-line-off"]}, **true), run(one)) == []


def test_a_case_that_expects_nothing_is_told_nothing() -> None:
    one = msgspec.structs.replace(case(TURNED), expect=None)
    assert list(otherwise(KNOWLEDGE, one, run(one))) == []
