"""The questions after a practice: shuffled, on a new case, and worth nothing to whoever guesses."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from random import Random

import pytest
from scipy.stats import binomtest, chisquare
from shipped import load

from diagnose.practice import happenings as hp
from diagnose.practice import setting
from diagnose.practice.lesson import Practice
from diagnose.practice.new_case import LIKELIEST, OFFERED, UNLIKELY, NewCase, new_case, shuffled

KNOWLEDGE = load()
RARE = 0.001
"""How unlikely chance must make a figure before it is held against the questions."""
CASES = 40


@pytest.fixture(scope="module")
def cases() -> list[NewCase]:
    found: list[NewCase] = []
    number = 0
    while len(found) < CASES:
        number += 1
        case = new_case(Practice(KNOWLEDGE, [setting.drawn(KNOWLEDGE, f"case {number}")]))
        found += [case] if case is not None else []
    return found


def test_the_right_answer_is_what_is_wrong_and_what_was_seen_speaks_for_it(cases: list[NewCase]) -> None:
    for case in cases[:20]:
        belief = case.practice.walk.standing.belief
        assert case.practice.hands.wrong() == [case.right]
        assert belief[case.right] >= LIKELIEST
        assert len(set(case.offered)) == OFFERED
        assert all(belief.get(one, 0.0) < UNLIKELY for one in case.offered if one != case.right)


def test_a_new_case_has_the_complaint_and_another_fault_and_stays_the_same(cases: list[NewCase]) -> None:
    practice = Practice(KNOWLEDGE, [setting.drawn(KNOWLEDGE, "case 1")])
    first, again = new_case(practice), new_case(practice)
    assert first is not None
    assert again is not None
    assert (first.offered, first.right) == (again.offered, again.right)
    assert first.practice.begun.symptom == practice.begun.symptom
    assert first.right not in {one.fault for one in practice.begun.troubles}


def test_the_right_place_is_as_often_each(cases: list[NewCase]) -> None:
    # scipy.stats.chisquare against equal shares
    counts = Counter(case.offered.index(case.right) for case in cases)
    assert chisquare([counts[place] for place in range(OFFERED)]).pvalue > RARE


@pytest.mark.parametrize(
    "guess",
    [
        lambda case: case.offered[0],
        lambda case: case.offered[-1],
        lambda case: Random(repr(case.offered)).choice(case.offered),
        lambda case: max(case.offered, key=lambda one: len(KNOWLEDGE.faults[one].name)),
        lambda case: min(case.offered, key=lambda one: KNOWLEDGE.faults[one].name),
    ],
)
def test_a_blind_guesser_scores_chance(cases: list[NewCase], guess: Callable[[NewCase], str]) -> None:
    # scipy.stats.binomtest against one in four
    right = sum(guess(case) == case.right for case in cases)
    assert binomtest(right, len(cases), 1 / OFFERED).pvalue > RARE


def test_the_answers_of_a_lesson_are_shuffled_so_that_no_place_is_right_more_often() -> None:
    places: list[int] = []
    many = 0
    for key, lesson in KNOWLEDGE.lessons.items():
        answers = lesson.question.answers
        if len(answers) != 3:
            continue
        begun = setting.from_lesson(KNOWLEDGE, key)
        for number in range(30):
            practice = Practice(KNOWLEDGE, [begun, *[hp.Hinted(1 + number % 3)] * (number // 3)])
            places.append(shuffled(practice, answers).index(lesson.question.right))
        many += 1
    assert many > 8
    assert chisquare([places.count(place) for place in range(3)]).pvalue > RARE


def test_the_order_stays_when_something_is_said() -> None:
    practice = Practice(KNOWLEDGE, [setting.from_lesson(KNOWLEDGE, "start-it-safely")])
    ended = practice.plus(hp.Looked("barrel-at-rest")).plus(hp.GaveUp())
    answers = KNOWLEDGE.lessons["start-it-safely"].question.answers
    assert shuffled(ended, answers) == shuffled(ended.plus(hp.Reflected(1, 0)), answers)
