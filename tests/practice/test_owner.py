"""What the owner says is true: it fits every fault that can be drawn, and no look contradicts a barrel that is held."""

from __future__ import annotations

from random import Random

import pytest
from msgspec.structs import replace
from practice.test_lesson import KNOWLEDGE
from shipped import load

from diagnose.graph.say import say
from diagnose.graph.wording import capital
from diagnose.practice import setting
from diagnose.practice.check_answers import truth
from diagnose.practice.drive import begun as walk_begun
from diagnose.practice.engine import drawn_trouble, sound_engine, with_trouble
from diagnose.practice.flow import off_stop
from diagnose.practice.hands import Hands
from diagnose.practice.lesson import Practice
from diagnose.practice.owner import history
from diagnose.reason import events as ev
from diagnose.reason.scope import Scope

ONSET = KNOWLEDGE.history["onset"]
FITS = 0.5
"""How much rarer an answer may be with the fault than with any other, before it contradicts it."""


@pytest.mark.parametrize("fault", KNOWLEDGE.simulated_faults)
def test_the_story_of_a_drawn_fault_is_how_it_comes_and_the_knowledge_does_not_speak_against_it(fault: str) -> None:
    engine = sound_engine("owner", KNOWLEDGE)
    engine = with_trouble(engine, drawn_trouble(engine, fault, Random(fault), 0.8))
    (said,) = history(engine, KNOWLEDGE)["onset"]
    assert said == KNOWLEDGE.simulated_faults[fault].comes
    assert ONSET.chance([said], fault) >= FITS * ONSET.chance([said], None)


def test_of_forty_drawn_engines_no_owner_errs() -> None:
    for seed in range(40):
        practice = Practice(KNOWLEDGE, [setting.drawn(KNOWLEDGE, f"owner {seed}")])
        (fault,) = practice.hands.wrong()
        says = say(ONSET.answers[KNOWLEDGE.simulated_faults[fault].comes].say, KNOWLEDGE)
        assert f"{say(ONSET.ask, KNOWLEDGE)} {capital(says)}." in practice.story(), fault


def test_of_two_faults_the_one_that_shows_more_says_how_it_came() -> None:
    lesson = KNOWLEDGE.lessons["better-and-not-gone"]
    practice = Practice(KNOWLEDGE, [setting.from_lesson(KNOWLEDGE, "better-and-not-gone")])
    sound = practice.hands.engine.before()
    strong = {t.fault: with_trouble(sound, t).strength(lesson.symptom) for t in practice.begun.troubles}
    worst = max(strong, key=strong.__getitem__)
    assert history(practice.hands.engine, KNOWLEDGE)["onset"] == (KNOWLEDGE.simulated_faults[worst].comes,)


def test_what_an_answer_rules_out_is_not_told() -> None:
    practice = Practice(KNOWLEDGE, [setting.from_lesson(KNOWLEDGE, "start-it-safely")])
    told = {event.question: event.said for event in practice.walk.events if isinstance(event, ev.Told)}
    assert told["changed"] == ("opened",)
    assert "onset" not in told  # what was opened says when


def test_a_measured_owner_errs_as_before() -> None:
    """The figures are measured with owners who err: a seventh of what came suddenly is told as slowly."""
    knowledge, slowly = load(), 0
    for seed in range(200):
        engine = sound_engine(f"errs {seed}", knowledge)
        engine = with_trouble(engine, drawn_trouble(engine, "pressure-line-off", Random(seed), 0.9))
        scope = Scope(knowledge, engine.variant)
        walk = walk_begun(knowledge, scope, Hands(replace(engine, complaint="revs-hang"), scope))
        slowly += any(isinstance(e, ev.Told) and e.said == ("slowly",) for e in walk.events)
    assert 15 <= slowly <= 45


@pytest.mark.parametrize("fault", KNOWLEDGE.simulated_faults)
def test_nothing_says_of_a_barrel_that_is_held_that_it_is_on_its_stop(fault: str) -> None:
    engine = sound_engine("held", KNOWLEDGE)
    engine = with_trouble(engine, drawn_trouble(engine, fault, Random(fault), 0.8))
    if off_stop(engine.state.parts) <= 0.2:
        return
    for name, check in KNOWLEDGE.checks.items():
        found = truth(name, check, engine.seen("idles-too-high"))
        if found is not None:
            answer = check.answers[found[0]]
            assert "on its stop" not in f"{answer.say} {answer.means}", name
