"""How a walk goes through the five kinds of node."""

from __future__ import annotations

from typing import Any

from little import SOUND, answer, current, in_no_doubt, knowledge, planned, raw, start, warm

from diagnose.graph.model import Knowledge, Variant
from diagnose.reason import events as ev


def routed(route: dict[str, Any], **more: Any) -> Knowledge:
    """Return the little knowledge with another route."""
    symptoms = raw()["symptoms"]
    symptoms["loads-up"] = {**symptoms["loads-up"], "route": route, **more}
    return knowledge(symptoms=symptoms)


OUT = {"node": "refer", "refer": "Ask someone."}
BACK = {"back": {"node": "prepare", "prepare": "going-back", "then": "out"}, "out": OUT}


def test_going_back_is_a_step_of_its_own_and_is_tried() -> None:
    walk = in_no_doubt(start(routed(BACK), recorded=True))
    step = current(walk)
    assert (step.kind, step.id) == ("restore", "going-back")
    walk = answer(walk.plus(walk.choose(step, "done", 0)), barrel="fine", failsafe="fine")
    assert current(walk).kind == "retest"
    assert planned(walk.plus(ev.Retested(0, "same"))).id == "out"
    cured = walk.plus(ev.Retested(0, "cured")).verdict()
    assert cured is not None
    assert cured.because == "going back cured it"


def test_without_a_record_or_without_the_time_going_back_is_passed_over() -> None:
    assert current(start(routed(BACK))).id == "out"
    walk = in_no_doubt(start(routed(BACK), recorded=True))
    assert planned(walk.plus(walk.choose(current(walk), "not now", 0))).id == "out"


def test_a_door_leads_to_another_symptom_and_keeps_its_answers() -> None:
    door = {"which": {"node": "ask", "ask": "hold", "branches": {"fine": "out", "bleeds": "flat"}}, "out": OUT}
    symptoms = raw()["symptoms"]
    flat = {**symptoms["loads-up"], "name": "flat", "route": {"out": OUT}}
    symptoms["loads-up"]["route"] = door
    walk = answer(start(knowledge(symptoms={**symptoms, "flat": flat})), hold="bleeds")
    assert walk.symptom == "flat"
    assert "hold" in walk.state.answers


def test_a_node_for_other_engines_is_passed_over() -> None:
    route = {"three": {**OUT, "only": {"needles": 3}, "else": "two"}, "two": OUT}
    assert current(start(routed(route))).id == "three"
    assert current(start(routed(route), variant=Variant(needles=2))).id == "two"


def test_cant_tell_at_a_branch_hands_over_unless_the_route_says_where_to_go() -> None:
    ask = {"node": "ask", "ask": "hold", "branches": {"fine": "out", "bleeds": "out"}}
    walk = answer(start(routed({"which": ask, "out": OUT})), hold="can't tell")
    assert current(walk).kind == "refer"
    assert "guess" in current(walk).ask
    ask = {**ask, "branches": {**ask["branches"], "can't tell": "out"}}
    assert planned(answer(start(routed({"which": ask, "out": OUT})), hold="can't tell")).id == "out"


def test_a_preparation_takes_the_exit_that_came_out() -> None:
    oil = {"name": "oil it", "do": ["Oil it."], "minutes": 1, "state": "parked"}
    node = {"node": "prepare", "prepare": "oil", "then": "out", "won't run": "other"}
    symptoms = raw()["symptoms"]
    symptoms["loads-up"]["route"] = {"oil": node, "out": OUT, "other": OUT}
    known = knowledge(symptoms=symptoms, preparations={**raw()["preparations"], "oil": oil})
    walk = start(known)
    assert current(walk).kind == "prepare"
    assert current(walk.plus(walk.choose(current(walk), "ready", 0))).id == "out"
    assert current(walk.plus(walk.choose(current(walk), "won't run", 0))).id == "other"


def test_a_route_that_turns_in_a_circle_ends_in_a_hand_over() -> None:
    ask = {"node": "ask", "ask": "hold", "branches": {"fine": "one", "bleeds": "one"}}
    walk = answer(start(routed({"one": ask, "out": OUT})), hold="fine")
    assert "circle" in current(walk).ask


def test_an_adjustment_that_helped_goes_on_to_the_strip_down_before_the_second_hour() -> None:
    walk = answer(answer(start(), **SOUND, soap="fine"), bubbles="fine")
    walk = answer(warm(walk), pinch="long climb")
    walk = walk.plus(walk.choose(current(walk), "done", 0)).plus(ev.Retested(0, "better"))
    assert current(walk).id == "jet"
    walk = answer(walk, jet="fine")
    assert current(walk).id == "bring-to-heat"
    walk = warm(walk)
    assert current(walk).id == "pinch"  # the sign from before the turn speaks of how it stood then
    walk = answer(walk, pinch="long climb")
    assert (current(walk).kind, current(walk).node) == ("adjust", "again")


def test_a_reading_falls_into_its_band_and_the_engines_own_value_counts() -> None:
    gap = {
        "name": "gap",
        "ask": "How wide?",
        "how": ["Measure."],
        "why": "To know.",
        "minutes": 1,
        "state": "parked",
        "look": "first",
        "good for": "tank",
        "reading": {"unit": "mm", "least": 0, "most": 5},
        "answers": {
            "shut": {"say": "shut", "if": {"line-off": 0.8}, "else": 0.02, "up to": 0.5},
            "right": {"say": "right", "healthy": True, "up to": "gap-most"},
            "wide": {"say": "wide", "if": {"line-off": 0.1}, "else": 0.02},
        },
    }
    facts = {**raw()["facts"], "gap-most": {"unit": "mm", "provenance": "from memory", "value": 1.5}}
    known = knowledge(checks={**raw()["checks"], "gap": gap}, facts=facts)
    for variant, value, said in [
        (Variant(), 1.4, "right"),
        (Variant(), 1.5, "wide"),
        (Variant(own={"gap-most": 2}), 1.9, "right"),
    ]:
        walk = start(known, variant=variant)
        walk = walk.plus(walk.measure(walk.ask("gap"), value, 0))
        assert walk.state.answers["gap"].answer == said
