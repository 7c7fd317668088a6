"""How a mend and a needle step are put: parts, where to work, what to look at again, when to stop."""

from __future__ import annotations

from typing import Any, Literal

import pytest
from little import CHECKS, FAULTS, SOUND, answer, current, knowledge, raw, start, warm

from diagnose.graph.model import Knowledge, Variant
from diagnose.reason import events as ev


def mending(**more: Any) -> Knowledge:
    """Return the little knowledge with more said about one mend."""
    line = FAULTS["line-off"]
    return knowledge(faults={**FAULTS, "line-off": {**line, "mend": {**line["mend"], **more}}})


def test_a_mend_says_what_may_have_to_be_renewed_and_where_to_work() -> None:
    step = current(answer(start(mending(parts=["pressure line"], where="pipe")), hold="bleeds", soap="fine"))
    assert (step.kind, step.parts, step.where) == ("mend", ("pressure line",), "pipe")


def test_a_mend_ends_with_what_to_look_at_again_and_when_to_stop() -> None:
    known = mending(recheck="Press air in.", **{"stop when": "The nipple turns."})
    step = current(answer(start(known), hold="bleeds", soap="fine"))
    assert step.how[-2:] == ("When it is done: press air in.", "Stop and get help if the nipple turns.")


def test_a_mend_that_says_nothing_of_it_shows_nothing_of_it() -> None:
    step = current(answer(start(), hold="bleeds", soap="fine"))
    assert (step.parts, step.where, step.how) == ((), "", ("Mend line-off.",))


@pytest.mark.parametrize(("needles", "where"), [(2, "two"), (3, "three")])
def test_a_needle_step_shows_where_this_engine_has_its_screws(needles: Literal[2, 3], where: str) -> None:
    general = {
        name: {"name": name, "only": {"needles": count}, "turns": {}, "say": "Start here.", "where": name}
        for count, name in ((2, "two"), (3, "three"))
    }
    walk = answer(start(knowledge(engines=general), variant=Variant(needles=needles)), **SOUND)
    step = current(answer(warm(walk), pinch="long climb"))
    assert (step.kind, step.where) == ("adjust", where)
    assert walk.decision.steps.prepare("going-back", "").where == where
    assert walk.decision.steps.prepare("let-it-cool", "").where == ""


def test_the_trail_says_the_numbers_of_an_answer() -> None:
    hold = CHECKS["hold"]
    bleeds = {**hold["answers"]["bleeds"], "say": "below <head-floor>"}
    known = knowledge(checks={**CHECKS, "hold": {**hold, "answers": {**hold["answers"], "bleeds": bleeds}}})
    assert answer(start(known), hold="bleeds").view(0).trail[-1].what == "hold: below 82 °C (180 °F)"


def test_a_needle_step_without_a_drawing_has_no_place() -> None:
    assert "engines" not in raw()
    step = current(answer(warm(answer(start(), **SOUND)), pinch="long climb"))
    assert (step.kind, step.where) == ("adjust", "")


def test_a_low_screw_that_lets_in_air_is_turned_the_other_way_round() -> None:
    fuel = warm(answer(start(), **SOUND, soap="fine", pinch="long climb"))
    air = warm(answer(start(variant=Variant(air_screw=True)), **SOUND, soap="fine", pinch="long climb"))
    assert (current(fuel).id, current(air).id) == ("low needle", "low needle")
    (low,) = current(air).turns
    assert (low.way, low.clockwise) == ("leaner", False)
    (stop,) = current(air.plus(air.choose(current(air), "done", 0.0))).turns
    assert (stop.way, stop.clockwise) == ("out", False)
    assert current(fuel).turns[0].clockwise
    turned = air.plus(air.choose(current(air), "done", 0.0)).plus(ev.Retested(0, "worse"))
    back = current(turned).turns[0]
    assert (back.way, back.clockwise) == ("richer", True)
