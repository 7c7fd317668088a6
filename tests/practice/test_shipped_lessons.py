"""The shipped lessons can be set on a simulated engine, and an honest search ends well."""

from __future__ import annotations

import re

import pytest
from practice.learners import advised, guessing
from practice.test_lesson import KNOWLEDGE

from diagnose.commands.printed import spoken
from diagnose.errors import DiagnoseError
from diagnose.pages.lesson_sheet import lesson_sheet
from diagnose.practice import happenings as hp
from diagnose.practice import setting, worked
from diagnose.practice.debrief import debrief
from diagnose.practice.lesson import CURED, Practice
from diagnose.practice.ours import by_program

EVERYWHERE = {"fuel", "air", "engine", "tank", "needle", "high", "low", "mid", "idle", "stop", "off", "open", "wrong"}
"""Words of a fault's name that give nothing away, and are hard to do without."""
TOLD_ALL = (r"nothing mechanical", r"needles? (?:is|are|stands?) (?:too )?(?:rich|lean)", r"\b(?:two|both) faults")
AT_ONCE = r"\bjust\b|last night|all at once|suddenly|over the winter"
SLOWLY = r"slowly|bit by bit|over several|for weeks|with each tank"


def begun(name: str) -> Practice:
    return Practice(KNOWLEDGE, [setting.from_lesson(KNOWLEDGE, name)])


def started(name: str) -> Practice:
    """As a learner finds it: with the looks made, in a lesson about the screws."""
    return worked.begin(KNOWLEDGE, setting.from_lesson(KNOWLEDGE, name))


def replied_wrongly(practice: Practice, name: str) -> Practice:
    """Answer the question at the end, with the first answer that is wrong."""
    asked = KNOWLEDGE.lessons[name].question
    practice = practice.plus(hp.Replied(next(one for one in asked.answers if one != asked.right)))
    assert practice.reply
    assert practice.reply != asked.right
    return practice


def test_there_are_at_least_twelve_from_starting_safely_to_two_faults() -> None:
    names = list(KNOWLEDGE.lessons)
    assert len(names) >= 12
    assert names[0] == "start-it-safely"
    assert max(len(one.faults) for one in KNOWLEDGE.lessons.values()) == 2


@pytest.mark.parametrize("name", KNOWLEDGE.lessons)
def test_a_lesson_does_not_say_what_is_wrong(name: str) -> None:
    lesson = KNOWLEDGE.lessons[name]
    told = f"{name} {lesson.name} {lesson.text}".lower().replace("-", " ")
    for fault in lesson.faults:
        plain = {*fault.split("-"), *re.findall(r"[a-z]+", KNOWLEDGE.faults[fault].name.lower())}
        telling = {word for word in plain if len(word) > 3} - EVERYWHERE
        assert not [word for word in telling if re.search(rf"\b{word}", told)], fault
    assert not [pattern for pattern in TOLD_ALL if re.search(pattern, told)]


@pytest.mark.parametrize("name", KNOWLEDGE.lessons)
def test_the_owner_does_not_contradict_the_lesson(name: str) -> None:
    lesson, story = KNOWLEDGE.lessons[name], " ".join(begun(name).story()[1:])
    slowly = KNOWLEDGE.history["onset"].answers["slowly"].say in story
    suddenly = KNOWLEDGE.history["onset"].answers["suddenly"].say in story
    assert not (slowly and re.search(AT_ONCE, lesson.text))
    assert not (suddenly and re.search(SLOWLY, lesson.text))
    recorded = not re.search("nobody wrote|wrote nothing", lesson.text, re.IGNORECASE)
    assert lesson.record is recorded


@pytest.mark.parametrize("name", KNOWLEDGE.lessons)
def test_a_lesson_shows_its_symptom_on_its_engine(name: str) -> None:
    lesson = KNOWLEDGE.lessons[name]
    practice = Practice(KNOWLEDGE, [setting.from_lesson(KNOWLEDGE, name)])
    assert practice.variant == lesson.variant
    assert practice.hands.engine.strength(lesson.symptom) >= 1
    assert sorted(practice.hands.wrong()) == sorted(lesson.faults)


@pytest.mark.parametrize("name", KNOWLEDGE.lessons)
def test_whoever_does_what_the_program_says_passes_a_lesson_with_a_good_score(name: str) -> None:
    practice = advised(begun(name))
    assert practice.ended == CURED
    assert debrief(practice).score.points >= 75
    right = KNOWLEDGE.lessons[name].question.right
    assert practice.plus(hp.Replied(right)).reply == right


@pytest.mark.parametrize("name", KNOWLEDGE.lessons)
def test_whoever_turns_a_needle_first_and_runs_it_without_the_guards_gets_nowhere(name: str) -> None:
    practice = begun(name)
    for event in (hp.TurnedScrew("high needle", -3.0), hp.Ran(), hp.Tried(), hp.TurnedScrew("low needle", -3.0)):
        practice = practice.plus(event)
    practice = replied_wrongly(practice.plus(hp.GaveUp()), name)
    first, ran, _, second, *_ = practice.lines
    assert first.early
    assert second.early
    assert ran.unguarded
    assert ran.hazards
    score = debrief(practice).score
    assert score.points == 0
    assert not score.earned


@pytest.mark.parametrize("name", KNOWLEDGE.lessons)
def test_whoever_mends_the_likeliest_without_a_look_has_next_to_nothing(name: str) -> None:
    practice = replied_wrongly(guessing(begun(name), 4), name)
    assert practice.ended
    score = debrief(practice).score
    assert score.points <= 15
    assert not score.earned


@pytest.mark.parametrize("name", KNOWLEDGE.lessons)
def test_a_lesson_is_short_and_its_engine_leads_nobody_astray(name: str) -> None:
    """By the program's own way, from where the learner begins. What is long is a judgement."""
    practice = started(name)
    whole = advised(practice)
    assert whole.ended == CURED
    assert not any(line.in_vain or line.hazards or line.early for line in whole.lines)
    assert whole.minutes - practice.minutes <= (45 if name == "when-may-it-be-turned" else 30)
    assert by_program(KNOWLEDGE, practice.begun).minutes <= 50


def test_the_lessons_on_needles_come_in_the_usual_order_and_are_worked_in_it() -> None:
    order = ["high needle", "low needle", "idle stop"]
    turned = {}
    for name in ("the-safe-way", "which-one-first", "what-is-set-last"):
        practice = started(name)
        assert practice.begun.shown == len(practice.lines) > 0, "the looks are made: it begins at the screws"
        assert not any(isinstance(line.event, hp.TurnedScrew) for line in practice.lines)
        assert "The looks are made" in KNOWLEDGE.lessons[name].text or "looks say that were made" in " ".join(
            KNOWLEDGE.lessons[name].text.split()
        )
        events = advised(practice).events
        turned[name] = [order.index(one.screw) for one in events if isinstance(one, hp.TurnedScrew)]
        assert turned[name] == sorted(turned[name]), "top, then bottom, then idle (common practice, no source)"
    assert [name for name in KNOWLEDGE.lessons if name in turned] == list(turned)
    assert list(turned.values()) == [[0], [0, 1, 2], [1, 2]]


def test_the_sheet_of_a_lesson_in_which_the_looks_are_made_says_what_was_seen() -> None:
    def read(name: str) -> str:
        return "\n".join(line for part in lesson_sheet(KNOWLEDGE, name) for line in spoken(part))

    assert KNOWLEDGE.checks["pinch-at-idle"].answers["dies at once"].say in read("what-is-set-last")
    assert "what was seen" not in read("when-may-it-be-turned")


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
