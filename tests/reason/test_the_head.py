"""A head above its window: it idles down into it, and the true reason is said. 180 to 220 °F, 270 °F: common practice,
no source."""

from __future__ import annotations

import pytest
from little import ROUTE, SOUND, answer, current, in_no_doubt, planned, raw, start, warm
from little import knowledge as little
from shipped import load

from diagnose.graph.model import Adjust
from diagnose.reason import events as ev
from diagnose.reason.gate import locks
from diagnose.reason.state import IDLES
from diagnose.reason.walk import Walk

ABOVE, INSIDE, STOP = 106.0, 98.0, (270 - 32) / 1.8


def hot(head: float = ABOVE) -> Walk:
    """Return a walk with everything in order for leaner, but the head."""
    return answer(warm(answer(start(), **SOUND), head=head), pinch="long climb")


def idled(walk: Walk, head: float, now: float = 0.0) -> Walk:
    """Let it idle, and read the head again, in °C."""
    step = current(walk, now)
    assert (step.kind, step.id) == ("prepare", "let-it-idle")
    return walk.plus(walk.measure(step, head, now))


def test_a_head_a_little_above_its_window_idles_down_and_the_hour_is_offered_at_once() -> None:
    walk = idled(hot(), INSIDE)
    assert (current(walk).kind, current(walk).id) == ("adjust", "low needle")


def test_idling_down_costs_a_minute_or_two_and_wants_no_look_again() -> None:
    known = load()
    assert known.preparations["let-it-idle"].minutes <= 2
    walk, asked = hot(), []
    for head in (ABOVE, 104.9, INSIDE):
        asked.append(current(walk).id)
        walk = idled(walk, head)
    assert asked == ["let-it-idle"] * 3
    assert current(walk).kind == "adjust"


def test_nothing_is_handed_over_for_heat_before_it_idled_down_a_few_times_and_then_the_reason_is_true() -> None:
    walk = hot()
    for _ in range(IDLES):
        walk = idled(walk, ABOVE)
    step = current(walk)
    assert step.kind == "refer"
    assert "stays above its window, 104 °C (220 °F)" in step.ask
    assert "two minutes" not in step.ask


def test_a_head_above_its_window_is_the_reason_however_old_the_reading_is() -> None:
    walk = hot()
    node = walk.standing.node
    assert isinstance(node, Adjust)
    (lock,) = locks(walk.standing, node, 600)
    assert lock.because == "a hot engine is never turned leaner"


def test_too_hot_without_a_number_idles_down_too() -> None:
    walk = answer(start(), **SOUND).plus(ev.Prepared(0, "bring-to-heat", "too hot"))
    walk = answer(walk, pinch="long climb")
    step = current(walk)
    assert step.id == "let-it-idle"
    assert "drop" not in {choice.id for choice in step.choices}


def test_a_head_above_its_stop_temperature_cools_and_does_not_idle() -> None:
    assert current(hot(STOP + 1)).id == "let-it-cool"
    assert current(idled(hot(), STOP + 1)).id == "let-it-cool"


def test_it_may_idle_down_too_far_and_is_brought_to_heat_again() -> None:
    walk = idled(hot(), 70)
    assert current(walk).id == "bring-to-heat"


def test_richer_waits_for_no_idling_down() -> None:
    symptoms = raw()["symptoms"]
    symptoms["loads-up"]["route"] = {
        **ROUTE,
        "pinch": {**ROUTE["pinch"], "branches": {**ROUTE["pinch"]["branches"], "dies": "leaner"}},
        "leaner": {**ROUTE["leaner"], "way": "richer", "follow": {"idle stop": {"way": "in", "hours": 1}}},
    }
    walk = in_no_doubt(start(little(symptoms=symptoms)))
    walk = answer(warm(walk, head=ABOVE), pinch="dies")
    assert current(walk).kind == "adjust"


def test_a_route_that_warms_it_itself_lets_it_idle_down_before_it_calls_it_too_hot() -> None:
    symptoms = raw()["symptoms"]
    symptoms["loads-up"]["route"] = {
        "warm": {"node": "prepare", "prepare": "bring-to-heat", "then": "hand over", "too hot": "hot"},
        "hot": {"node": "refer", "refer": "It is hot."},
        "hand over": ROUTE["hand over"],
    }
    walk = warm(answer(start(little(symptoms=symptoms)), **SOUND), head=ABOVE)
    assert planned(idled(walk, INSIDE)).id == "hand over"
    for _ in range(IDLES):
        walk = idled(walk, ABOVE)
    assert planned(walk).id == "hot"


def dropped(walk: Walk) -> Walk:
    return walk.plus(walk.choose(walk.decision.steps.prepare("bring-to-heat", ""), "drop", 0))


def test_without_a_thermometer_a_leaner_hour_ends_in_an_honest_hand_over() -> None:
    walk = answer(dropped(answer(start(), **SOUND)), pinch="long climb")
    step = current(walk)
    assert step.kind == "refer"
    assert "water drop is not enough" in step.ask


def test_without_a_thermometer_the_way_back_to_the_record_stays_open() -> None:
    walk = answer(dropped(answer(start(recorded=True), **SOUND)), pinch="long climb")
    assert current(walk).kind == "restore"


@pytest.mark.parametrize("outcome", ["too cool", "too hot"])
def test_no_look_is_made_again_for_heat_alone(outcome: ev.PrepareOutcome) -> None:
    walk = hot()
    for _ in range(9):
        step = current(walk)
        assert step.kind != "ask"
        if step.kind == "refer":
            return
        walk = walk.plus(walk.choose(step, outcome, 0))
    raise AssertionError("it is warmed for ever")


def test_only_the_rule_that_decides_is_given_as_the_reason() -> None:
    symptoms = raw()["symptoms"]
    symptoms["loads-up"]["sign"] = {"low needle": "lean"}
    step = planned(hot().plus(ev.Noted(0, "")))
    assert step.id == "let-it-idle"
    walk = answer(warm(answer(start(little(symptoms=symptoms)), **SOUND), head=ABOVE), pinch="long climb")
    assert "sign of lean" in planned(walk).ask
    assert "hot engine" not in planned(walk).ask
