"""The last word before a race is derived from the belief, is never a needle step, and contradicts no hand-over."""

from __future__ import annotations

import random
from typing import Any

import pytest
from little import FINE, ROUTE, SOUND, answer, check, current, knowledge, raw, shows, start, warm
from shipped import load

from diagnose.graph.last_word import FORBIDS
from diagnose.graph.model import Refer, every_variant
from diagnose.reason import events as ev
from diagnose.reason.last_word import WORDS, last_word
from diagnose.reason.walk import Walk, begin

KNOWLEDGE = load()


def little(race: str = "race", **fields: Any) -> Walk:
    """Return a walk of a symptom that may be raced, with everything owed looked for."""
    symptoms = raw()["symptoms"]
    symptoms["loads-up"] |= {"race": race, **fields}
    return answer(start(knowledge(symptoms=symptoms)), **SOUND)


def word(walk: Walk) -> tuple[str, str]:
    found = last_word(walk, 0)
    return found.word, found.because


def test_what_is_rich_and_looked_for_is_raced_as_it_is() -> None:
    said, because = word(answer(warm(little()), pinch="long climb"))
    assert said == "race"
    assert because.startswith("Everything owed is looked for, and nothing speaks of lean or of heat. ")
    assert because.endswith("likeliest this: a fault.")


def test_a_sign_of_lean_keeps_it_out() -> None:
    assert word(answer(warm(little(sign={})), pinch="dies")) == (
        "stay out",
        "A sign that the low needle is lean: pinch.",
    )


def test_the_belief_alone_keeps_a_lean_engine_out() -> None:
    blue = check("warm", 1, {"fine": FINE, "blue": shows({"low-lean": 0.9}, 0.01)}, name="blue")
    symptoms = raw()["symptoms"]
    symptoms["loads-up"] |= {"race": "race", "sign": {}}
    known = knowledge(symptoms=symptoms, checks={**raw()["checks"], "blue": blue})
    walk = warm(answer(start(known), **SOUND))
    assert word(answer(walk, blue="blue")) == ("stay out", "It may be lean: a fault.")


@pytest.mark.parametrize(("head", "said"), [(106.0, "race"), ((250 - 32) / 1.8, "stay out")])
def test_a_head_at_the_come_in_temperature_keeps_it_out(head: float, said: str) -> None:
    assert word(answer(warm(little(), head=head), pinch="long climb"))[0] == said


def test_a_day_that_asks_for_richer_keeps_it_out() -> None:
    lean = ev.Drift("lean", "The day asks for two hours richer.", 0.2, 0.5, 0.3, "lean")
    symptoms = raw()["symptoms"]
    symptoms["loads-up"] |= {"race": "race"}
    walk = answer(start(knowledge(symptoms=symptoms), drift=lean), **SOUND)
    assert word(walk) == ("stay out", "The day speaks of lean. The day asks for two hours richer.")


def test_another_complaint_that_is_not_raced_keeps_it_out() -> None:
    symptoms = raw()["symptoms"]
    symptoms["hot"] = {**symptoms["loads-up"], "name": "gets too hot", "sign": {}}
    symptoms["loads-up"] |= {"race": "race"}
    walk = answer(start(knowledge(symptoms=symptoms)), **SOUND).plus(ev.Told(0, "also", "hot"))
    assert word(walk) == ("stay out", "With this it stays out until it is cured: gets too hot.")


def test_a_hand_over_that_keeps_the_car_off_the_track_is_not_contradicted() -> None:
    route = {**ROUTE, "hand over": {**ROUTE["hand over"], "stay out": True}}
    walk = answer(warm(little(route=route)), pinch="short climb")
    assert isinstance(walk.standing.node, Refer)
    assert word(walk)[0] == "stay out"


def test_an_hour_leaner_that_did_not_cure_keeps_it_out() -> None:
    walk = answer(warm(little()), pinch="long climb")
    walk = walk.plus(walk.choose(current(walk), "done", 20)).plus(ev.Retested(60, "better"))
    assert word(walk) == ("stay out", "A needle stands leaner than it was found, and it is not cured.")


def test_the_reason_for_staying_out_is_the_symptoms_own() -> None:
    assert word(little(race="stay out")) == ("stay out", "With this it stays out until it is cured: loads up.")


@pytest.mark.parametrize("symptom", sorted(KNOWLEDGE.symptoms))
@pytest.mark.slow
def test_on_no_walk_does_the_last_word_contradict_the_step_that_hands_it_over(symptom: str) -> None:
    """The oracle reads the text of the hand-over, whatever it is marked with."""
    rng = random.Random(symptom)
    for _ in range(12):
        walk = begin(KNOWLEDGE, ev.Started(0.0, "", symptom, "", rng.choice(list(every_variant())), recorded=True))
        calm, now = rng.random(), 0.0
        while (step := walk.step(now)) is not None:
            found = last_word(walk, len(walk.standing.first_owed))
            assert found.word in WORDS
            if found.word == "race":
                assert not FORBIDS.search(" ".join(step.ask.split())) or step.kind != "refer", step.ask
                assert not any(setting == "lean" for _, setting in walk.standing.signs)
            choice = rng.choice(step.choices).id
            if step.kind in ("ask", "recheck") and rng.random() < calm:
                choice = KNOWLEDGE.checks[step.id].healthy
            now += step.minutes * 60
            walk = walk.plus(walk.choose(step, choice, now))
