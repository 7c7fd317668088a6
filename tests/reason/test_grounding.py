"""What keeps an engine off stays until the same check says otherwise, and what was turned is not left behind."""

from __future__ import annotations

import math

import pytest
from little import (
    CHECKS,
    FAULTS,
    FINE,
    ROUTE,
    SOUND,
    answer,
    check,
    current,
    fault,
    knowledge,
    planned,
    raw,
    shows,
    start,
    warm,
)

from diagnose.errors import DiagnoseError
from diagnose.reason import events as ev
from diagnose.reason.decide import MOST_STEPS
from diagnose.reason.state import HOT
from diagnose.reason.walk import Walk

FOUND = "the throttle does not shut"
STOP = (270 - 32) / 1.8


@pytest.mark.parametrize("said", ["can't tell", "unsure", "refuelled", "mended"])
def test_a_grounding_finding_is_lifted_only_by_a_sure_answer_of_the_same_check(said: str) -> None:
    walk = answer(start(), hold="fine", failsafe="fine", barrel="open")
    match said:
        case "can't tell":
            walk = answer(walk, barrel="can't tell")
        case "unsure":
            walk = answer(walk, sure=False, barrel="fine")
        case "refuelled":
            walk = walk.plus(ev.Happened(0, "refuelled"))
        case _:
            walk = answer(walk.plus(ev.Mended(0, "held-open")), barrel="can't tell")
    assert walk.state.grounded() == [FOUND]
    assert current(walk).state == "parked"
    assert answer(walk, barrel="fine").state.grounded() == []


def test_no_mend_cranks_the_engine_while_another_look_has_found_the_same_elsewhere() -> None:
    drips = {"fine": FINE, "drips": shows({"wet": 0.9}, grounds="fuel leaks")}
    spits = {"fine": FINE, "spits": shows({"flooded": 0.95}, grounds="fuel leaks")}
    faults = {
        **FAULTS,
        "wet": fault("tank", 1),
        "flooded": fault("ignition", 9, mend={"do": ["Clear it."], "cranks": True}),
    }
    faults["wet"]["mend"]["do"] = ["Renew it."]
    looks = {**CHECKS, "line": check("parked", 1, drips), "out": check("parked", 1, spits)}
    walk = answer(start(knowledge(checks=looks, faults=faults)), **{**SOUND, "line": "drips", "out": "spits"})
    mends = []
    for _ in range(12):
        step = current(walk)
        if step.kind == "mend":
            mends.append(step.id)
            walk = walk.plus(ev.Mended(0, step.id))
        elif step.kind in ("ask", "recheck"):
            again = {"line": "wet" not in mends, "out": "flooded" not in mends}.get(step.id, False)
            said = {"line": "drips", "out": "spits"}[step.id] if again else walk.scope.checks[step.id].healthy
            walk = answer(walk, **{step.id: said})
        else:
            break
    assert mends == ["wet", "flooded"]


def test_every_check_that_grounded_is_made_again_after_the_mend() -> None:
    rod = {
        **CHECKS["soap"],
        "answers": {"fine": {"say": "f", "healthy": True}, "drags": shows({"held-open": 0.8}, grounds=FOUND)},
    }
    walk = answer(start(knowledge(checks={**CHECKS, "rod": rod})), failsafe="fine", barrel="open", rod="drags")
    walk = answer(walk.plus(ev.Mended(0, "held-open")), barrel="fine")
    assert current(walk).id == "rod"
    assert current(walk).kind == "recheck"


def test_a_head_above_its_stop_temperature_stays_so_until_it_has_cooled() -> None:
    walk = warm(answer(start(), **SOUND), head=STOP + 1)
    assert walk.state.grounded() == [HOT]
    assert answer(walk, hold="fine").state.grounded() == [HOT]
    step = current(walk)
    assert step.id == "let-it-cool"
    refused = walk.plus(walk.choose(step, "won't run", 0))
    assert planned(refused).kind == "refer"
    assert walk.plus(walk.choose(step, "ready", 0)).state.grounded() == []


def test_a_check_that_finds_it_too_hot_is_owed_again_after_cooling_and_ends_in_a_hand_over() -> None:
    heat = {
        **CHECKS["bubbles"],
        "answers": {"fine": {"say": "f", "healthy": True}, "too hot": shows({"froth": 0.8}, grounds=HOT)},
    }
    walk = answer(
        start(knowledge(checks={**CHECKS, "bubbles": heat})),
        hold="fine",
        barrel="fine",
        failsafe="fine",
        new_plug="same",
    )
    for _ in range(2):
        walk = answer(walk, bubbles="too hot")
        step = current(walk)
        if step.kind == "mend":
            walk = walk.plus(ev.Deferred(0, step.id))
            break
        walk = walk.plus(walk.choose(step, "ready", 0))
    assert current(walk).kind in ("refer", "prepare")
    for _ in range(6):
        step = current(walk)
        if step.kind == "refer":
            return
        walk = answer(walk, bubbles="too hot") if step.kind == "ask" else walk.plus(walk.choose(step, "ready", 0))
    raise AssertionError("it cools for ever")


@pytest.mark.parametrize("head", [math.nan, math.inf, 500.0, -60.0])
def test_a_head_that_cant_be_is_refused(head: float) -> None:
    with pytest.raises(DiagnoseError, match="can't be"):
        start().plus(ev.Prepared(0, "bring-to-heat", "ready", head=head))


def turned(outcome: str = "same", **more: bool) -> Walk:
    walk = answer(warm(answer(start(**more), **SOUND)), pinch="long climb")
    return walk.plus(walk.choose(current(walk), "done", 20)).plus(ev.Retested(60, outcome))  # type: ignore[arg-type]


def test_a_sign_from_before_the_turn_is_no_sign_for_the_next() -> None:
    assert "pinch" not in turned().state.answers


def test_an_hour_leaner_that_did_not_cure_is_turned_back_before_a_hand_over() -> None:
    walk = answer(turned(), jet="can't tell")
    step = current(walk)
    assert step.kind == "undo"
    undone = walk.plus(walk.choose(step, "done", 90))
    assert undone.state.turned["low needle"] == 0
    assert planned(undone).kind == "refer"


def test_the_last_word_is_stay_out_while_a_turn_has_not_been_tried() -> None:
    walk = answer(warm(answer(start(), **SOUND)), pinch="long climb")
    walk = walk.plus(walk.choose(current(walk), "done", 20)).plus(ev.Deadline(30, 5))
    assert walk.view(30).last_word == "stay out"


def test_a_turn_is_recorded_only_as_it_was_asked_for() -> None:
    walk = answer(warm(answer(start(), **SOUND)), pinch="long climb")
    right = walk.choose(current(walk), "done", 20)
    assert isinstance(right, ev.Adjusted)
    for wrong in (
        ev.Adjusted(20, "low needle", "leaner", 2),
        ev.Adjusted(20, "low needle", "leaner", 1, {"high needle": -6}),
        ev.Adjusted(20, "low needle", "leaner", 1, {"idle stop": -1}),
        ev.Adjusted(20, "low needle", "richer", -1),
        ev.Adjusted(20, "low needle", "leaner", 1, follows=True),
        ev.Adjusted(7200, "low needle", "leaner", 1),
    ):
        with pytest.raises(DiagnoseError, match="not open now"):
            walk.plus(wrong)


def test_what_was_done_cannot_be_retracted_nor_undone_twice() -> None:
    walk = turned("worse")
    number = next(n for n, event in enumerate(walk.events) if isinstance(event, ev.Adjusted))
    with pytest.raises(DiagnoseError, match="done to the engine"):
        walk.plus(ev.Retracted(0, number))
    walk = walk.plus(ev.Undone(80))
    with pytest.raises(DiagnoseError, match="no adjustment"):
        walk.plus(ev.Undone(90))


def test_nothing_is_cured_that_was_not_tried() -> None:
    with pytest.raises(DiagnoseError, match="nothing to try"):
        start().plus(ev.Retested(0, "cured"))


def test_a_second_symptom_can_speak_against_leaning() -> None:
    symptoms = raw()["symptoms"]
    lean = {**symptoms["loads-up"], "name": "hangs", "sign": {"low needle": "lean"}}
    walk = start(knowledge(symptoms={**symptoms, "hangs": lean})).plus(ev.Told(0, "also", "hangs"))
    walk = answer(warm(answer(walk, **SOUND)), pinch="long climb")
    assert planned(walk).kind == "refer"


def test_a_carried_answer_decides_no_branch_unasked() -> None:
    walk = answer(warm(answer(start(carried=(ev.Carried("pinch", "short climb", -1.0, "one"),)), **SOUND)))
    assert (current(walk).kind, current(walk).id) == ("ask", "pinch")


def test_a_route_may_bring_it_to_heat_itself() -> None:
    symptoms = raw()["symptoms"]
    route = {
        "warm": {"node": "prepare", "prepare": "bring-to-heat", "then": "hand over"},
        "hand over": ROUTE["hand over"],
    }
    symptoms["loads-up"]["route"] = route
    walk = answer(start(knowledge(symptoms=symptoms)), **SOUND)
    assert planned(warm(walk)).id == "hand over"
    cold = warm(walk, head=50)
    assert current(cold).id == "bring-to-heat"
    assert "would not come ready" in current(warm(cold, head=50)).ask.lower()


@pytest.mark.parametrize("minutes", [math.nan, -1.0, 1e9])
def test_minutes_that_cant_be_are_refused(minutes: float) -> None:
    with pytest.raises(DiagnoseError, match="can't be"):
        start().plus(ev.Deadline(0, minutes))


LEAK = "fuel leaks"
LEAKY = {
    **CHECKS,
    "where": check(
        "parked",
        2,
        {"dry": FINE, "leaks": shows({"lid-leaks": 0.8}, grounds=LEAK), "thin": shows({"froth": 0.8})},
        name="where",
    ),
}
GUARDED = {"barrel": "fine", "failsafe": "fine"}


@pytest.mark.parametrize(("said", "grounded"), [("thin", True), ("dry", False)])
def test_a_leak_that_was_put_off_is_not_lifted_by_another_finding_of_the_same_check(said: str, grounded: bool) -> None:
    walk = answer(start(knowledge(checks=LEAKY)), **GUARDED, where="leaks").plus(ev.Deferred(0, "lid-leaks"))
    assert bool(answer(walk, where=said).state.grounded()) is grounded


def test_a_leak_that_is_put_off_lets_nothing_run_and_the_hand_over_names_it() -> None:
    walk = answer(start(knowledge(checks=LEAKY)), **GUARDED, where="leaks").plus(ev.Deferred(0, "lid-leaks"))
    for _ in range(30):
        step = current(walk)
        if step.kind == "refer":
            break
        assert step.state in ("parked", "plug out", "stripped")
        walk = walk.plus(walk.choose(step, "leaks" if step.id == "where" else step.choices[0].id, 0))
    assert step.kind == "refer"
    assert walk.scope.faults["lid-leaks"].name in step.ask
    assert LEAK in step.ask


def test_nothing_is_tried_between_two_mends_that_keep_the_engine_off() -> None:
    walk = answer(start(knowledge(checks=LEAKY)), failsafe="fine", where="leaks", barrel="open")
    walk = answer(walk.plus(ev.Mended(0, "held-open")), barrel="fine")
    made = []
    while (step := current(walk)).kind not in ("mend", "refer"):
        made.append(step.kind)
        assert step.kind == "ask"
        assert step.state == "parked"
        walk = answer(walk, **{step.id.replace("-", "_"): "leaks" if step.id == "where" else "fine"})
    assert step.id == "lid-leaks"


def runaway() -> Walk:
    rod = check("parked", 1, {"fine": FINE, "drags": shows({"rod-drags": 0.8})}, name="rod")
    drags = fault("linkage", 2, name="the rod drags")
    drags["mend"]["do"] = ["Free it."]
    symptoms = raw()["symptoms"]
    symptoms["loads-up"] |= {"runs away": True}
    walk = start(knowledge(symptoms=symptoms, checks={**CHECKS, "rod": rod}, faults={**FAULTS, "rod-drags": drags}))
    return answer(walk, **SOUND | {"rod": "drags"})


def test_where_it_can_run_away_nothing_starts_before_the_linkage_is_mended() -> None:
    walk = runaway()
    for _ in range(9):
        step = current(walk)
        assert step.state == "parked"
        if step.kind == "mend":
            return
        walk = answer(walk, **{step.id.replace("-", "_"): "drags" if step.id == "rod" else "fine"})
    raise AssertionError("the rod is never mended")


def test_where_it_can_run_away_a_linkage_that_is_put_off_keeps_the_engine_off() -> None:
    walk = runaway().plus(ev.Deferred(0, "rod-drags"))
    assert walk.decision.looking.may_run is False
    step = planned(walk)
    assert step.kind == "refer"
    assert "the rod drags" in step.ask


def test_after_a_hundred_steps_what_is_on_trial_is_tried_and_no_new_look_is_begun() -> None:
    walk = answer(start(), **{**SOUND, "bubbles": "can't tell"})
    while walk.state.steps < MOST_STEPS - 1:
        walk = answer(walk, hold="fine")
    assert current(walk).kind == "ask"
    mended = walk.plus(ev.Mended(0, "froth"))
    assert current(mended).kind == "retest"
    assert current(mended.plus(ev.Retested(0, "same"))).kind == "refer"
