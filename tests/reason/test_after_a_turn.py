"""What follows a turn: proof that it cured, and no hour leaner that did nothing is left."""

from __future__ import annotations

from typing import Any

from little import ROUTE, SOUND, answer, current, in_no_doubt, knowledge, raw, start, warm

from diagnose.reason import events as ev
from diagnose.reason.last_word import last_word
from diagnose.reason.walk import Walk


def turned(way: str, outcome: Any) -> Walk:
    """Turn the low needle an hour on the pinch, and try it; after a turn that helped a second one follows."""
    symptoms = raw()["symptoms"]
    follow = {"idle stop": {"way": "in" if way == "richer" else "out", "hours": 1}}
    hour = {**ROUTE["leaner"], "way": way, "follow": follow, "same": "hand over"}
    branches = {"dies": "leaner", "short climb": "hand over", "long climb": "leaner"}
    symptoms["loads-up"] |= {
        "sign": {"low needle": "lean" if way == "richer" else "rich"},
        "route": {**ROUTE, "pinch": {**ROUTE["pinch"], "branches": branches}, "leaner": hour},
    }
    walk = in_no_doubt(start(knowledge(symptoms=symptoms)))
    walk = answer(warm(walk), pinch="dies" if way == "richer" else "long climb")
    return walk.plus(walk.choose(current(walk), "done", 20)).plus(ev.Retested(60, outcome))


def test_a_cure_by_an_hour_richer_is_proven_by_the_sign_that_had_opened_it() -> None:
    walk = turned("richer", "cured")
    assert walk.verdict() is None
    assert (current(walk, 60).kind, current(walk, 60).id) == ("ask", "pinch")
    assert last_word(walk, 0).word == "stay out"
    cured = answer(walk, 70, pinch="short climb").verdict()
    assert cured is not None
    assert (cured.outcome, cured.because) == ("cured", "the adjustment cured it")


def test_where_the_sign_is_still_there_it_is_better_and_not_cured() -> None:
    walk = answer(turned("richer", "cured"), 70, pinch="dies")
    assert walk.verdict() is None
    assert walk.standing.position.node == "again"  # where a turn that helped leads


def test_who_cannot_tell_is_believed_that_it_is_cured() -> None:
    for said in ("can't tell", "no tool now"):
        verdict = answer(turned("richer", "cured"), 70, pinch=said).verdict()
        assert verdict is not None
        assert verdict.outcome == "cured"


def test_a_cure_by_an_hour_leaner_asks_nothing_that_could_lead_further() -> None:
    verdict = turned("leaner", "cured").verdict()
    assert verdict is not None
    assert verdict.outcome == "cured"


def test_an_hour_leaner_that_changed_nothing_goes_back_at_once() -> None:
    step = current(turned("leaner", "same"), 60)
    assert step.kind == "undo"
    assert step.ask == "It changed nothing: turn it back to where it was."
    assert current(turned("leaner", "worse"), 60).ask == "It got worse: turn it back to where it was."
    assert current(turned("leaner", "better"), 60).kind != "undo"


def test_what_a_strip_down_showed_is_not_opened_once_more_after_its_mend() -> None:
    walk = answer(start(), **SOUND, jet="grit").plus(ev.Mended(10, "dirt"))
    assert current(walk, 10).kind == "retest"
    walk = answer(start(), **SOUND | {"bubbles": "bubbles"}).plus(ev.Mended(10, "froth"))
    assert current(walk, 10).kind == "recheck"
