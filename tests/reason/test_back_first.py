"""The record comes before a new setting: going back stands before the first hour."""

from __future__ import annotations

from typing import Any

from little import (
    CHECKS,
    FAULTS,
    ROUTE,
    SOUND,
    answer,
    check,
    current,
    in_no_doubt,
    knowledge,
    planned,
    raw,
    shows,
    start,
    warm,
)

from diagnose.graph.model import Knowledge
from diagnose.reason import events as ev
from diagnose.reason.walk import Walk

RICH = {**SOUND, "pinch": "long climb"}


def at_the_needle(known: Knowledge | None = None, **more: Any) -> Walk:
    return answer(warm(answer(start(known, **more), **SOUND, soap="fine")), pinch="long climb")


def gone_back(walk: Walk, outcome: Any = "same") -> Walk:
    """Send the suspected screw home and try it; where that changes nothing, the others after it."""
    walk = walk.plus(walk.choose(current(walk), "done", 20)).plus(ev.Retested(60, outcome))
    if planned(walk, 60).kind == "restore":
        walk = walk.plus(walk.choose(planned(walk, 60), "done", 60)).plus(ev.Retested(60, outcome))
    return walk


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
    walk = in_no_doubt(gone_back(at_the_needle(recorded=True)))
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
    walk = walk.plus(walk.choose(current(walk, 60), "done", 80)).plus(ev.Retested(100, "better"))
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


def richer(outcome: Any, sign: str = "rich") -> Walk:
    """Turn an hour richer, and try it; the route hands over either way. The symptom is a `sign` of the low needle."""
    symptoms = raw()["symptoms"]
    symptoms["loads-up"]["sign"] = {"low needle": sign}
    route = symptoms["loads-up"]["route"]
    way = {**ROUTE["leaner"], "way": "richer", "better": "hand over", "same": "hand over"}
    symptoms["loads-up"]["route"] = {
        **route,
        "pinch": {**ROUTE["pinch"], "branches": {**ROUTE["pinch"]["branches"], "dies": "richer"}},
        "richer": {**way, "follow": {"idle stop": {"way": "in", "hours": 1}}},
    }
    sound = in_no_doubt(start(knowledge(symptoms=symptoms)))
    walk = answer(warm(sound, head=110.0), pinch="dies")  # hot, so that one sign is enough
    return walk.plus(walk.choose(current(walk), "done", 20)).plus(ev.Retested(60, outcome))


def test_an_hour_richer_that_changed_nothing_is_turned_back_before_a_hand_over() -> None:
    step = current(richer("same"), 60)
    assert step.kind == "undo"
    assert richer("same").plus(ev.Undone(70)).state.turned == {"low needle": 0}


def test_where_it_looks_lean_an_hour_richer_stays_for_safety() -> None:
    assert current(richer("same", sign="lean"), 60).kind != "undo"


def test_an_hour_richer_that_made_it_better_stays() -> None:
    walk = richer("better")
    assert planned(walk, 60).kind == "refer"
    assert current(walk, 60).kind != "undo"
    assert walk.state.turned["low needle"] == 1


def marked(minutes: float = 3, marks: str = "off", **more: Any) -> Walk:
    """Stand where a mark, if it is off, sends the screws home; a count shows it too. Mending one takes `minutes`."""
    off = {"fine": CHECKS["hold"]["answers"]["fine"], "off": shows({"crept": 0.8}, 0.15)}
    crept = {
        **FAULTS["froth"],
        "area": "needles",
        "explains": {},
        "kind": "screw",
        "screw": "high needle",
        "setting": "off",
        "mend": {**FAULTS["froth"]["mend"], "minutes": minutes, "back": True, "touches": ["needles"]},
    }
    symptoms = raw()["symptoms"]
    symptoms["loads-up"]["route"] = {
        **ROUTE,
        "outside": {**ROUTE["outside"], "then": "moved"},
        "moved": {"node": "ask", "ask": "marks", "branches": {"fine": "pinch", "off": "home first"}},
        "home first": {"node": "prepare", "prepare": "going-back", "then": "pinch"},
    }
    checks = {**CHECKS, "marks": check("parked", 0.5, off), "count": check("parked", 0.1, off)}
    known = knowledge(checks=checks, faults={**FAULTS, "crept": crept}, symptoms=symptoms)
    return answer(answer(start(known, recorded=True, **more), **SOUND), marks=marks)


def test_screws_that_stand_on_their_marks_need_no_going_back_before_an_hour() -> None:
    assert current(answer(warm(marked(marks="fine")), pinch="long climb")).kind == "adjust"


def test_screws_on_their_marks_go_back_all_the_same_where_the_day_asks_for_richer() -> None:
    lean = ev.Drift("not followed", "it stands lean of the day", 0.1, 0.45, 0.1, setting="lean")
    walk = answer(warm(marked(marks="fine", drift=lean)), pinch="long climb")
    assert current(walk).id == "going-back"
    rich = marked(marks="fine", drift=ev.Drift("not followed", "it stands rich of it", 0.1, 0.45, 0.1, setting="rich"))
    assert current(answer(warm(rich), pinch="long climb")).kind == "adjust"


def test_where_the_screws_go_home_no_other_look_and_no_mend_of_one_stands_before_it() -> None:
    step = current(answer(marked(), marks="off"))
    assert (step.kind, step.id) == ("restore", "going-back")


def test_a_screw_that_is_sent_home_by_itself_in_fewer_minutes_is_mended_alone() -> None:
    walk = answer(answer(marked(minutes=1), marks="off", count="off"), count="off")
    assert (current(walk).kind, current(walk).id) == ("restore", "crept")


def test_going_back_settles_what_said_that_a_screw_had_moved_and_is_not_offered_twice() -> None:
    walk = gone_back(answer(marked(), marks="off"))
    assert "marks" not in walk.state.answers
    assert walk.standing.accused == {}
    assert walk.standing.position.node == "pinch"
    walk = answer(warm(walk, 60), 60, pinch="short climb")
    assert planned(walk, 60).id == "hand over"
