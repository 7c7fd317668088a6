"""The record comes before a new setting: going back stands before the first hour."""

from __future__ import annotations

from typing import Any

from little import ROUTE, SOUND, answer, current, knowledge, planned, raw, start, warm

from diagnose.graph.model import Knowledge
from diagnose.reason import events as ev
from diagnose.reason.walk import Walk

RICH = {**SOUND, "pinch": "long climb"}


def at_the_needle(known: Knowledge | None = None, **more: bool) -> Walk:
    return answer(warm(answer(start(known, **more), **SOUND)), pinch="long climb")


def gone_back(walk: Walk, outcome: Any = "same") -> Walk:
    return walk.plus(walk.choose(current(walk), "done", 20)).plus(ev.Retested(60, outcome))


def test_with_a_record_the_screws_go_back_before_any_hour() -> None:
    step = current(at_the_needle(recorded=True))
    assert (step.kind, step.id) == ("restore", "going-back")
    assert current(at_the_needle()).kind == "adjust"


def test_what_is_owed_is_looked_for_before_the_screws_go_back() -> None:
    walk = answer(start(recorded=True), **{**RICH, "hold": "can't tell"})
    assert planned(walk).kind != "restore"


def test_after_going_back_it_is_tried_and_may_be_cured() -> None:
    walk = at_the_needle(recorded=True)
    walk = walk.plus(walk.choose(current(walk), "done", 20))
    assert current(walk).kind == "retest"
    verdict = walk.plus(ev.Retested(60, "cured")).verdict()
    assert verdict is not None
    assert verdict.because == "going back cured it"
    assert verdict.adjustments == 0


def test_who_puts_it_off_is_offered_the_hour_as_before() -> None:
    walk = at_the_needle(recorded=True)
    walk = walk.plus(walk.choose(current(walk), "not now", 20))
    assert current(walk, 20).kind == "adjust"


def test_a_sign_from_before_going_back_is_no_sign_for_an_hour() -> None:
    walk = gone_back(at_the_needle(recorded=True))
    assert "pinch" not in walk.state.answers
    step = current(answer(warm(walk, 60)), 60)
    assert (step.kind, step.id) == ("ask", "pinch")
    assert current(answer(warm(walk, 60), 60, pinch="long climb"), 60).kind == "adjust"


BACK = {
    **ROUTE,
    "strip": {"node": "prepare", "prepare": "going-back", "then": "hand over"},
}


def to_the_record() -> Knowledge:
    symptoms = raw()["symptoms"]
    symptoms["loads-up"]["route"] = BACK
    return knowledge(symptoms=symptoms)


def test_a_route_that_goes_back_later_does_not_go_back_twice_but_turns_the_hour_back() -> None:
    walk = gone_back(at_the_needle(to_the_record(), recorded=True))
    walk = answer(warm(walk, 60), 60, pinch="long climb")
    walk = walk.plus(walk.choose(current(walk, 60), "done", 80)).plus(ev.Retested(100, "same"))
    step = current(walk, 100)
    assert step.kind == "undo"
    assert "record" in step.ask
    walk = walk.plus(ev.Undone(110))
    assert walk.state.turned["low needle"] == 0
    assert planned(walk, 110).kind == "refer"


def test_without_an_hour_the_route_goes_back_and_then_no_more() -> None:
    walk = at_the_needle(to_the_record(), recorded=True)
    walk = gone_back(walk)
    walk = answer(warm(walk, 60), 60, pinch="short climb")
    assert planned(walk, 60).kind == "refer"
    assert [event for event in walk.events if isinstance(event, ev.Restored)] != []


def richer(outcome: Any) -> Walk:
    """Turn an hour richer, and try it; the route hands over either way."""
    symptoms = raw()["symptoms"]
    route = symptoms["loads-up"]["route"]
    way = {**ROUTE["leaner"], "way": "richer", "better": "hand over", "same": "hand over"}
    symptoms["loads-up"]["route"] = {
        **route,
        "pinch": {**ROUTE["pinch"], "branches": {**ROUTE["pinch"]["branches"], "dies": "richer"}},
        "richer": {**way, "follow": {"idle stop": {"way": "in", "hours": 1}}},
    }
    walk = answer(warm(answer(start(knowledge(symptoms=symptoms)), **SOUND)), pinch="dies")
    return walk.plus(walk.choose(current(walk), "done", 20)).plus(ev.Retested(60, outcome))


def test_an_hour_richer_that_changed_nothing_is_turned_back_before_a_hand_over() -> None:
    step = current(richer("same"), 60)
    assert step.kind == "undo"
    assert richer("same").plus(ev.Undone(70)).state.turned == {"low needle": 0, "idle stop": 0}


def test_an_hour_richer_that_made_it_better_stays() -> None:
    walk = richer("better")
    assert planned(walk, 60).kind == "refer"
    assert current(walk, 60).kind != "undo"
    assert walk.state.turned["low needle"] == 1
