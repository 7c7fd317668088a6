"""The rules at run time. 180 to 220 F, an hour as the largest step: common practice, no source."""

from __future__ import annotations

from typing import Any

import pytest
from little import (
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
from shipped import load

from diagnose.graph.model import Adjust, Knowledge, Variant
from diagnose.graph.model.base import FURTHEST
from diagnose.reason import events as ev
from diagnose.reason.gate import FRESH, HOUR, locks
from diagnose.reason.walk import Walk

CEILING, FLOOR = (220 - 32) / 1.8, (180 - 32) / 1.8


def test_the_texts_quote_the_numbers_that_the_gate_keeps() -> None:
    facts = load().facts
    kept = {"head-reading-good": FRESH / 60, "largest-step": HOUR, "furthest-turn": FURTHEST}
    assert {name: facts[name].value for name in kept} == kept


def rules(walk: Walk, now: float = 0.0) -> set[int]:
    """Return the rules that lock the adjustment named leaner in the route."""
    node = walk.knowledge.symptoms[walk.symptom].route["leaner"]
    assert isinstance(node, Adjust)
    return {lock.rule for lock in locks(walk.standing, node, now)}


def node_of(walk: Walk) -> Adjust:
    node = walk.knowledge.symptoms[walk.symptom].route["leaner"]
    assert isinstance(node, Adjust)
    return node


def ready(known: Knowledge | None = None, **more: Any) -> Walk:
    """Return a walk with every first look healthy, warm, and two signs of rich."""
    return answer(warm(answer(start(known, **more), **SOUND)), pinch="long climb")


def richer_route() -> dict[str, Any]:
    """Return a route that turns richer."""
    hour = {**ROUTE["leaner"], "way": "richer", "follow": {"idle stop": {"way": "in", "hours": 1}}}
    return {**ROUTE, "leaner": hour}


def richer(**more: Any) -> Knowledge:
    """Return the little knowledge with a route that turns richer, and a symptom that is a sign of lean."""
    symptoms = raw()["symptoms"]
    symptoms["loads-up"] |= {"route": richer_route(), "sign": {"low needle": "lean"}}
    return knowledge(symptoms=symptoms, **more)


def test_everything_in_order_opens_the_gate() -> None:
    assert rules(ready()) == set()


@pytest.mark.parametrize("missing", sorted(SOUND))
def test_one_first_look_missing_shuts_it(missing: str) -> None:
    walk = answer(start(), **{check: said for check, said in SOUND.items() if check != missing})
    walk = answer(warm(walk), pinch="long climb")
    assert rules(walk) & ({5} if missing == "failsafe" else {1})
    assert current(walk).kind != "adjust"


def test_an_unhealthy_answer_clears_nothing() -> None:
    walk = answer(start(), **SOUND | {"hold": "bleeds"})
    assert "line-off" in walk.standing.first_owed


def test_a_second_hour_needs_the_strip_down() -> None:
    walk = ready(turned={"low needle": -1.0})
    assert rules(walk) == {2}
    assert current(walk).id == "jet"
    assert rules(answer(walk, jet="fine")) - {4} == set()  # the strip-down stopped the engine


@pytest.mark.parametrize(
    ("turned", "explained", "locked"),
    [
        (-1.0, -1.0, False),  # all of it
        (-1.0, -3.0, False),  # and no more than it: nothing is saved up
        (-1.5, -0.5, True),  # an hour is left, and the next is the second
        (-1.0, 2.0, True),  # the day asks for richer
    ],
)
def test_what_air_and_fuel_explain_is_not_counted(turned: float, explained: float, locked: bool) -> None:
    walk = ready(turned={"low needle": turned}, explained={"low needle": explained})
    assert (2 in rules(walk)) == locked
    assert walk.plus(ev.Restored(1)).state.explained == {}


def test_never_past_two_hours() -> None:
    walk = answer(ready(turned={"low needle": -2.0}), jet="fine")
    assert 2 in rules(walk)


def test_a_turn_towards_the_last_good_tune_is_not_a_second_hour() -> None:
    assert rules(ready(turned={"low needle": 1.0})) == set()


@pytest.mark.parametrize(("hours", "locked"), [(1.0, False), (1.5, True)])
def test_one_hour_at_most(hours: float, locked: bool) -> None:
    symptoms = raw()["symptoms"]
    symptoms["loads-up"]["route"] = {**ROUTE, "leaner": {**ROUTE["leaner"], "hours": hours}}
    assert (3 in rules(ready(knowledge(symptoms=symptoms)))) == locked


@pytest.mark.parametrize(("head", "locked"), [(FLOOR - 1, True), (FLOOR, False), (CEILING, False), (CEILING + 1, True)])
def test_leaner_only_inside_the_window(head: float, locked: bool) -> None:
    walk = answer(warm(answer(start(), **SOUND), head=head), pinch="long climb")
    assert (4 in rules(walk)) == locked


@pytest.mark.parametrize(("head", "locked"), [(FLOOR - 1, True), (FLOOR, False), (CEILING + 20, False)])
def test_richer_at_or_above_the_floor(head: float, locked: bool) -> None:
    walk = answer(warm(answer(start(richer()), **SOUND), head=head), pinch="long climb")
    assert (4 in rules(walk)) == locked


def test_a_reading_is_good_for_two_minutes() -> None:
    assert rules(ready(), now=120) == set()
    assert rules(ready(), now=121) == {4}


def test_a_water_drop_permits_richer_never_leaner() -> None:
    def dropped(known: Knowledge | None, pinch: str) -> Walk:
        walk = in_no_doubt(start(known)).plus(ev.Prepared(0, "bring-to-heat", "ready", drop=True))
        return answer(walk, pinch=pinch)

    assert rules(dropped(None, "long climb")) == {4}
    assert rules(dropped(richer(), "dies")) == set()


def test_an_engines_own_window_counts() -> None:
    own = {"head-ceiling": 93.0}

    walk = answer(warm(answer(start(variant=Variant(own=own)), **SOUND), head=CEILING - 1), pinch="long climb")
    assert rules(walk) == {4}


def test_a_head_above_its_stop_temperature_grounds() -> None:
    walk = answer(warm(answer(start(), **SOUND), head=(270 - 32) / 1.8), pinch="long climb")
    assert 6 in rules(walk)
    assert current(walk).id == "let-it-cool"


def test_two_tries_to_bring_it_to_heat_and_then_a_hand_over() -> None:
    walk = warm(warm(answer(start(), **SOUND), head=60), head=60)
    assert planned(walk).kind == "refer"


def test_an_engine_that_will_not_keep_running_is_not_tuned() -> None:
    walk = answer(start(), **SOUND).plus(ev.Prepared(0, "bring-to-heat", "won't run"))
    assert planned(walk).kind == "refer"
    symptoms = raw()["symptoms"]
    symptoms["loads-up"]["runs"] = False
    assert 4 in rules(ready(knowledge(symptoms=symptoms)))


def test_a_head_that_was_read_before_it_stopped_by_itself_opens_nothing() -> None:
    walk = answer(start(), **SOUND).plus(ev.Prepared(0, "bring-to-heat", "won't run", head=95.0))
    assert rules(answer(walk, pinch="long climb")) == {4}


def test_leaner_needs_two_signs_of_rich() -> None:
    symptoms = raw()["symptoms"]
    symptoms["loads-up"]["sign"] = {}
    assert rules(ready(knowledge(symptoms=symptoms))) == {7}


def test_the_complaint_alone_turns_no_needle_richer() -> None:
    walk = warm(in_no_doubt(start(richer())))  # its symptom is a sign of lean
    assert 7 in rules(walk)
    assert rules(answer(walk, pinch="dies")) == set()


def test_richer_needs_one_sign_that_was_seen_as_the_engine_ran() -> None:
    pale = {"fine": {"say": "brown", "healthy": True}, "pale": shows({"low-lean": 0.8}, sign={"low needle": "lean"})}
    known = richer(checks={**raw()["checks"], "plug": check("plug out", 1, pale)})
    walk = warm(answer(in_no_doubt(start(known)), plug="pale"))
    assert [lock.because for lock in locks(walk.standing, node_of(walk), 0.0)] == [
        "richer needs a sign of lean on the low needle that was seen as the engine ran"
    ]
    assert rules(answer(walk, pinch="dies")) == set()


def test_one_sign_that_was_seen_is_not_enough_for_richer_either() -> None:
    assert 7 not in rules(answer(warm(in_no_doubt(start(richer()))), pinch="dies"))
    said = knowledge(symptoms={"loads-up": {**raw()["symptoms"]["loads-up"], "route": richer_route(), "sign": {}}})
    assert 7 in rules(answer(warm(in_no_doubt(start(said))), pinch="dies"))


def test_one_sign_is_enough_for_richer_where_the_head_is_hot() -> None:
    walk = in_no_doubt(start(richer()))
    assert 7 in rules(warm(walk, head=CEILING))
    assert 7 not in rules(warm(walk, head=CEILING + 1))


def test_an_engine_that_is_still_new_is_never_turned_leaner() -> None:
    walk = answer(warm(in_no_doubt(start(variant=Variant(run_in=False)))), pinch="long climb")
    assert rules(walk) == {7}
    assert planned(walk).kind == "refer"
    assert "still new" in planned(walk).ask
    assert rules(answer(warm(in_no_doubt(start())), pinch="long climb")) == set()


def test_a_sign_of_lean_forbids_leaner() -> None:
    symptoms = raw()["symptoms"]
    symptoms["loads-up"]["sign"] = {"low needle": "lean"}
    walk = ready(knowledge(symptoms=symptoms))
    assert rules(walk) == {7}
    assert planned(walk).kind == "refer"


def test_a_mended_fault_is_looked_for_only_when_its_check_came_out_healthy() -> None:
    walk = answer(start(), **SOUND | {"hold": "bleeds"}, soap="fine").plus(ev.Mended(0, "line-off"))
    assert "line-off" in walk.standing.first_owed
    assert "line-off" not in answer(walk, hold="fine").standing.first_owed


def test_going_back_resets_the_hours() -> None:
    walk = ready(turned={"low needle": -2.0}).plus(ev.Restored(1))
    assert walk.state.turned == {}


def test_richening_the_top_is_never_blocked_by_the_second_hour() -> None:
    high = {**ROUTE["leaner"], "adjust": "high needle", "way": "richer", "follow": {}}
    symptoms = raw()["symptoms"]
    symptoms["loads-up"]["route"] = {**ROUTE, "leaner": high}
    assert 2 not in rules(ready(knowledge(symptoms=symptoms), turned={"high needle": 2.0}))


def test_a_strip_down_hardly_believed_is_not_owed() -> None:
    rare = {**FAULTS["dirt"], "explains": {"loads-up": 0.1}}
    walk = answer(start(knowledge(faults={**FAULTS, "dirt": rare}), turned={"low needle": -1.0}), **SOUND, soap="fine")
    assert rules(answer(warm(walk), pinch="long climb")) == set()
