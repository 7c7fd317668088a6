"""The shipped lessons can be set on a simulated engine, and an honest search ends well."""

from __future__ import annotations

import pytest
from practice.learners import advised
from practice.test_lesson import KNOWLEDGE

from diagnose.errors import DiagnoseError
from diagnose.practice import happenings as hp
from diagnose.practice import setting
from diagnose.practice.debrief import debrief
from diagnose.practice.lesson import CURED, Practice


def test_there_are_at_least_eight_from_starting_safely_to_two_faults() -> None:
    names = list(KNOWLEDGE.lessons)
    assert len(names) >= 8
    assert names[0] == "start-it-safely"
    assert len(KNOWLEDGE.lessons[names[-1]].faults) == 2


@pytest.mark.parametrize("name", KNOWLEDGE.lessons)
def test_a_lesson_shows_its_symptom_on_its_engine(name: str) -> None:
    lesson = KNOWLEDGE.lessons[name]
    practice = Practice(KNOWLEDGE, [setting.from_lesson(KNOWLEDGE, name)])
    assert practice.variant == lesson.variant
    assert practice.hands.engine.strength(lesson.symptom) >= 1
    assert sorted(practice.hands.wrong()) == sorted(lesson.faults)


@pytest.mark.parametrize("name", KNOWLEDGE.lessons)
def test_whoever_does_what_the_program_says_passes_a_lesson_with_a_good_score(name: str) -> None:
    practice = advised(Practice(KNOWLEDGE, [setting.from_lesson(KNOWLEDGE, name)]))
    assert practice.ended == CURED
    assert debrief(practice).score.points >= 75


def test_the_question_is_answered_once_and_at_the_end() -> None:
    practice = Practice(KNOWLEDGE, [setting.from_lesson(KNOWLEDGE, "start-it-safely")])
    right = KNOWLEDGE.lessons["start-it-safely"].question.right
    with pytest.raises(DiagnoseError, match="no question"):
        practice.plus(hp.Replied(right))
    ended = practice.plus(hp.GaveUp())
    with pytest.raises(DiagnoseError, match="did you mean"):
        ended.plus(hp.Replied(right[:-1]))
    answered = ended.plus(hp.Replied(right))
    assert answered.reply == right
    with pytest.raises(DiagnoseError, match="no question"):
        answered.plus(hp.Replied(right))


def test_the_nearest_lesson_is_named() -> None:
    with pytest.raises(DiagnoseError, match="start-it-safely"):
        setting.from_lesson(KNOWLEDGE, "start-it-safly")
