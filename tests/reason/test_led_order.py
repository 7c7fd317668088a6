"""Who is led one thing at a time: how the walk is planned for somebody who reads each look for the first time."""

from __future__ import annotations

import pytest
from shipped import load

from diagnose.graph.model import Variant
from diagnose.reason import events as ev
from diagnose.reason.explain import owed_plan
from diagnose.reason.play import play
from diagnose.reason.view import Step
from diagnose.reason.walk import Walk, begin, replay

KNOWLEDGE = load()
GUARDS = {name for name, check in KNOWLEDGE.checks.items() if check.guard}


def start(symptom: str, *, led: bool = True) -> Walk:
    return begin(KNOWLEDGE, ev.Started(0.0, KNOWLEDGE.digest, symptom, "", Variant(), led=led))


def healthy(walk: Walk, step: Step) -> str | None:
    return walk.scope.checks[step.id].healthy if step.kind == "ask" else None


def first(walk: Walk) -> str:
    step = walk.step(0.0)
    assert step is not None
    return step.id


def test_the_guards_come_first_but_for_who_is_led_at_an_engine_that_does_not_run() -> None:
    assert first(start("spins-but-never-fires")) not in GUARDS
    assert first(start("spins-but-never-fires", led=False)) in GUARDS
    assert first(start("revs-hang")) in GUARDS


@pytest.mark.parametrize("symptom", [name for name, one in KNOWLEDGE.symptoms.items() if not one.runs])
def test_both_guards_are_seen_before_a_dead_engine_is_turned_to_look(symptom: str) -> None:
    seen: set[str] = set()
    for made in play(start(symptom), healthy):
        assert made.step.engine == "off" or made.step.id in GUARDS or seen >= GUARDS, made.step.id
        seen.add(made.step.id)


def test_the_list_of_what_is_owed_keeps_the_order_of_who_is_led() -> None:
    walk = start("spins-but-never-fires")
    listed = [look.id for look in owed_plan(walk)]
    made = list(dict.fromkeys(one.step.id for one in play(walk, healthy) if one.step.kind == "ask"))
    assert [name for name in made if name in listed] == [name for name in listed if name in made]


def test_no_round_makes_a_look_quicker_for_who_is_led_and_reading_it_takes_its_time() -> None:
    led, alone = (start("spins-but-never-fires", led=on).scope.look("pressure-line-dry") for on in (True, False))
    assert led.line is None
    assert alone.line is not None
    assert led.minutes > alone.minutes


def test_a_replay_is_planned_as_the_walk_was() -> None:
    walk = start("spins-but-never-fires")
    stored = [ev.from_json(ev.to_json(event)) for event in walk.events]
    assert first(replay(KNOWLEDGE, stored)) == first(walk)


def test_whether_it_only_kicked_is_not_asked_of_an_engine_that_never_fires() -> None:
    asked = [one.step.id for one in play(start("spins-but-never-fires"), healthy)]
    assert "kick-or-backwards" not in asked
