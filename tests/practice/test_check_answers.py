"""What is seen comes from the engine's state and the trust grade, and not from the knowledge's probabilities."""

from __future__ import annotations

from itertools import product
from random import Random

import msgspec
import pytest
from shipped import load

from diagnose.graph.model import Answer, Check, Knowledge, Variant
from diagnose.graph.model.parts import MEASURES
from diagnose.practice.check_answers import TRUST, truth
from diagnose.practice.engine import MadeWrong, SimEngine, random_engine, sound_engine, with_trouble
from diagnose.practice.measurable import MEASURED

KNOWLEDGE = load()
ROWS = KNOWLEDGE.simulated_checks
SWAPS = {name for name, row in ROWS.items() if row.fits}
GAUGES = {name for name, row in ROWS.items() if row.reads}
MANY = 4000
ABOUT_THE_COMPLAINT = {*SWAPS, "how-soon-it-leans"}
"""Checks that ask how the trouble behaves, or whether a spare ends it: with no trouble they have no healthy answer."""


def with_other_numbers(knowledge: Knowledge, rng: Random) -> Knowledge:
    """Return the knowledge with every probability of every check replaced by another."""

    def answer(old: Answer) -> Answer:
        given = {fault: rng.random() for fault in old.given}
        return msgspec.structs.replace(old, given=given, otherwise=None if old.otherwise is None else rng.random())

    def check(old: Check) -> Check:
        return msgspec.structs.replace(old, answers={name: answer(one) for name, one in old.answers.items()})

    return msgspec.structs.replace(knowledge, checks={name: check(one) for name, one in knowledge.checks.items()})


def test_everything_that_a_file_may_call_a_measure_is_measured() -> None:
    assert set(MEASURED) == set(MEASURES)


def test_seeing_does_not_read_the_knowledges_probabilities() -> None:
    other = with_other_numbers(KNOWLEDGE, Random(7))
    assert other.checks != KNOWLEDGE.checks
    for number in range(60):
        engine = random_engine(f"blind {number}", KNOWLEDGE)
        for name, check in KNOWLEDGE.checks.items():
            assert engine.see(name, check, 0) == engine.see(name, other.checks[name], 0)


def test_every_answer_that_can_be_seen_is_one_of_the_checks_own() -> None:
    for number in range(200):
        engine = random_engine(f"own {number}", KNOWLEDGE)
        for name, check in KNOWLEDGE.checks.items():
            seen = engine.see(name, check, 0)
            if name in GAUGES:
                assert seen is None or isinstance(seen, float)
            else:
                assert seen is None or seen in check.answers


def test_every_answer_of_the_knowledge_is_the_truth_for_some_fault() -> None:
    """An answer that no state of the engine ever gives would make the knowledge look worse than it is."""
    shown: dict[str, set[str]] = {name: set() for name in KNOWLEDGE.checks}
    for fault, row in KNOWLEDGE.simulated_faults.items():
        for mode, severity, variant in product(
            range(len(row.modes)), (0.1, 0.5, 1.0), (Variant(), Variant(run_in=False))
        ):
            engine = with_trouble(sound_engine(fault, KNOWLEDGE), MadeWrong(fault, mode, severity))
            seen = msgspec.structs.replace(engine, variant=variant, recorded=True).seen("overheats")
            for name, check in KNOWLEDGE.checks.items():
                found = truth(name, check, seen)
                shown[name].update(found[:1] if found is not None else ())
    never = {name: set(check.answers) - shown[name] for name, check in KNOWLEDGE.checks.items() if name not in GAUGES}
    assert {name: left for name, left in never.items() if left and name not in SWAPS} == {}


def test_a_sound_engine_looks_sound_to_an_eye_that_never_errs() -> None:
    for number in range(40):
        engine = sound_engine(f"sound {number}", KNOWLEDGE)
        for name, check in KNOWLEDGE.checks.items():
            found = truth(name, check, engine.seen("overheats"))
            if name not in ABOUT_THE_COMPLAINT:
                assert found is None or found[0] == check.healthy, name


def broken_engine(fault: str) -> SimEngine:
    for number in range(10_000):
        engine = random_engine(f"{fault} {number}", KNOWLEDGE)
        if engine.troubles[0].fault == fault:
            return engine
    raise AssertionError(fault)


@pytest.mark.parametrize(
    ("fault", "check", "answer", "grade"),
    [("fins-packed", "fins-and-shell", "packed", "H"), ("tank-lid-leaks", "lid-with-suds", "bubbles", "M")],
)
def test_a_look_shows_what_is_there_as_often_as_its_grade_says(fault: str, check: str, answer: str, grade: str) -> None:
    engine, looked = broken_engine(fault), KNOWLEDGE.checks[check]
    shown = sum(engine.see(check, looked, visit) == answer for visit in range(MANY)) / MANY
    assert shown == pytest.approx(TRUST[grade][0], abs=0.02)  # type: ignore[index]


def test_a_look_shows_what_is_not_there_as_often_as_its_grade_says() -> None:
    engine = sound_engine("false", KNOWLEDGE)
    for name, grade in (("fail-safe-closes", "H"), ("lid-with-suds", "M")):
        check = KNOWLEDGE.checks[name]
        wrong = sum(engine.see(name, check, visit) != check.healthy for visit in range(MANY)) / MANY
        assert wrong == pytest.approx(TRUST[grade][1], abs=0.012)  # type: ignore[index]


def test_the_trust_grades_are_those_that_were_fixed_beforehand() -> None:
    assert TRUST == {"H": (0.95, 0.02), "M": (0.85, 0.05), "L": (0.65, 0.10)}


def test_what_needs_a_running_engine_cannot_be_told_on_a_dead_one() -> None:
    engine = broken_engine("plug-coil-broken")
    assert engine.see("pinch-at-idle", KNOWLEDGE.checks["pinch-at-idle"], 0) is None
    assert engine.see("bubbles", KNOWLEDGE.checks["bubbles"], 0) is None
    assert engine.head(0) is None


def test_the_makers_line_of_the_mid_needle_is_seen_without_a_record_and_no_other_mark_is() -> None:
    check = KNOWLEDGE.checks["paint-marks"]
    for base in (sound_engine(f"line {number}", KNOWLEDGE) for number in range(20)):
        engine = msgspec.structs.replace(base, recorded=False)
        off = {engine.turned({"mid needle": 4.0}).see("paint-marks", check, visit) for visit in range(30)}
        assert off == ({None, "mid off its line"} if engine.variant.needles == 3 else {None})
        assert {engine.turned({"high needle": 4.0}).see("paint-marks", check, visit) for visit in range(30)} == {None}


def test_a_count_needs_a_record() -> None:
    engine = broken_engine("needle-moved")
    check = KNOWLEDGE.checks["needle-count"]
    told = {msgspec.structs.replace(engine, recorded=True).see("needle-count", check, visit) for visit in range(30)}
    assert "has moved" in told
    assert msgspec.structs.replace(engine, recorded=False).see("needle-count", check, 0) is None


def test_the_same_look_of_the_same_engine_is_the_same() -> None:
    engine = broken_engine("tank-lid-leaks")
    check = KNOWLEDGE.checks["hold-and-stream"]
    assert [engine.see("hold-and-stream", check, n) for n in range(9)] == [
        engine.see("hold-and-stream", check, n) for n in range(9)
    ]


def test_a_fresh_part_that_is_fitted_to_try_it_stays_in() -> None:
    engine = broken_engine("plug-tired")
    assert engine.looked("new-plug").parts.activity == 1
    assert engine.looked("plug-out") == engine
