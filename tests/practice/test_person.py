"""People who err more than a look's grade says."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from shipped import load

from diagnose.graph.model.parts import SOUND
from diagnose.measure.measure import misnamed
from diagnose.practice.drive import drive
from diagnose.practice.engine import SimEngine, random_engine
from diagnose.practice.hands import Hands
from diagnose.practice.person import PERSONS, USUAL, Person
from diagnose.reason.scope import Scope

KNOWLEDGE = load()
MANY = 300
LOOK = "along-the-lines"


@pytest.fixture(scope="module")
def engine() -> SimEngine:
    return random_engine("a person", KNOWLEDGE)


def hands(engine: SimEngine, person: Person) -> Hands:
    return Hands(engine, Scope(KNOWLEDGE, engine.variant), person)


def missed(engine: SimEngine, person: Person) -> int:
    check = KNOWLEDGE.checks[LOOK]
    return sum(engine.see(LOOK, check, visit, person=person) != check.healthy for visit in range(MANY))


def sound(engine: SimEngine) -> SimEngine:
    return replace(engine, parts=SOUND, screws=engine.tuned)


def test_a_noisy_person_errs_about_twice_as_often(engine: SimEngine) -> None:
    assert missed(sound(engine), USUAL) < missed(sound(engine), PERSONS["noisy"]) < 4 * MANY * 0.1


def test_whoever_repeats_his_slips_always_sees_what_he_saw_first(engine: SimEngine) -> None:
    check = KNOWLEDGE.checks[LOOK]
    same = Person(same_slip=1.0)
    seen = {sound(engine).see(LOOK, check, visit, person=same) for visit in range(MANY)}
    assert len(seen) == 1


def test_an_erring_re_test_is_one_step_off_and_what_is_felt_stays_true(engine: SimEngine) -> None:
    right, wrong = hands(engine, USUAL), hands(engine, Person(retest_errs=1.0))
    order = ("cured", "better", "same", "worse")
    told, truth = wrong.retest(), right.retest()
    assert abs(order.index(told) - order.index(truth)) == 1
    assert wrong.felt == right.felt


def test_a_wrong_name_is_of_the_same_moment(engine: SimEngine) -> None:
    told = misnamed(engine, Person(misnames=1.0))
    assert told.complaint != engine.complaint
    assert KNOWLEDGE.symptoms[told.complaint].when == KNOWLEDGE.symptoms[engine.complaint].when
    assert misnamed(engine, USUAL) is engine


def test_answers_that_nobody_is_sure_of_make_a_walk_longer(engine: SimEngine) -> None:
    unsure = hands(engine, Person(half_sure=1.0))
    assert drive(engine, KNOWLEDGE, unsure.scope, unsure).steps != drive(engine, KNOWLEDGE).steps
