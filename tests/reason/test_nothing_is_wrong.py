"""Nothing is wrong: an end of its own, and when it may be said."""

from __future__ import annotations

from typing import Any

import pytest
from little import CHECKS, FAULTS, FINE, ROUTE, SOUND, answer, current, knowledge, raw, shows, start, warm
from msgspec.structs import replace

from diagnose.graph.model import Knowledge, Variant
from diagnose.reason import events as ev

SOUND_END = {"node": "refer", "refer": "It is only oily.", "nothing wrong": True}


def normal(**more: Any) -> Knowledge:
    """Return the little knowledge with a route that ends with nothing wrong, or with what `more` says of its faults."""
    symptoms = raw()["symptoms"]
    pinch = {**ROUTE["pinch"], "branches": {**ROUTE["pinch"]["branches"], "short climb": "well"}}
    symptoms["loads-up"]["route"] = {**ROUTE, "pinch": pinch, "well": SOUND_END}
    return knowledge(symptoms=symptoms, **more)


def test_nothing_is_wrong_is_an_end_of_its_own() -> None:
    walk = answer(warm(answer(start(normal()), **SOUND)), pinch="short climb")
    step = current(walk)
    assert (step.kind, step.normal, step.title) == ("refer", True, "nothing is wrong")
    event = walk.choose(step, "done", 0.0)
    assert event == ev.FoundNormal(0.0, "It is only oily.")
    assert ev.from_json(ev.to_json(event)) == event
    verdict = walk.plus(event).verdict()
    assert verdict is not None
    assert (verdict.outcome, verdict.because) == ("nothing is wrong", "It is only oily.")
    assert walk.plus(event).step(0.0) is None
    assert walk.plus(event).plus(ev.Retracted(0.0, len(walk.events))).verdict() is None


def test_nothing_is_wrong_is_not_said_where_something_was_found_and_put_off() -> None:
    walk = answer(start(normal()), **{**SOUND, "hold": "bleeds"}, soap="suds").plus(ev.Deferred(0.0, "lid-leaks"))
    walk = answer(warm(walk), pinch="short climb")
    assert not any(step.normal for step in [walk.decision.planned(0.0), current(walk)])


def test_nothing_is_wrong_is_not_said_where_a_look_points_at_something_that_others_outvote() -> None:
    hiss = {**CHECKS["soap"], "answers": {"fine": FINE, "hisses": shows({"lid-leaks": 0.7}, 0.1)}, "name": "hiss"}
    walk = answer(start(normal(checks={**CHECKS, "hiss": hiss})), **SOUND, soap="fine")
    walk = answer(warm(answer(walk, sure=False, hiss="hisses")), pinch="short climb")
    assert walk.standing.accused == {}
    end = walk.decision.planned(0.0)
    assert (end.kind, end.normal) == ("refer", False)


@pytest.mark.parametrize(("run_in", "word"), [(True, "race"), (False, "stay out")])
def test_a_car_with_nothing_wrong_races_unless_it_is_new(run_in: bool, word: str) -> None:
    known = normal()
    loads_up = known.symptoms["loads-up"]
    known = replace(known, symptoms={"loads-up": replace(loads_up, race="race", sign={})})
    walk = answer(warm(answer(start(known, variant=Variant(run_in=run_in)), **SOUND)), pinch="short climb")
    walk = walk.plus(ev.Deadline(0.0, 8)).plus(walk.choose(current(walk), "done", 0.0))
    view = walk.view(0.0)
    assert (view.last_word, view.last_word_because) == (
        word,
        "Nothing is wrong." if run_in else "A new engine is run in before it races.",
    )


@pytest.mark.parametrize(("marked", "outcome"), [(True, "nothing is wrong"), (False, "cured")])
def test_what_is_only_empty_or_only_new_is_no_fault(marked: bool, outcome: str) -> None:
    lid = {**FAULTS["lid-leaks"], "normal": marked}
    walk = answer(start(normal(faults={**FAULTS, "lid-leaks": lid})), barrel="fine", failsafe="fine", hold="bleeds")
    walk = answer(walk, soap="suds").plus(ev.Mended(0.0, "lid-leaks"))
    walk = answer(walk, **{current(walk).id.replace("-", "_"): "fine"}).plus(ev.Retested(0.0, "cured"))
    verdict = walk.verdict()
    assert verdict is not None
    assert (verdict.outcome, verdict.cured, verdict.mended) == (outcome, True, ("lid-leaks",))
