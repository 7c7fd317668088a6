"""What is found plainly is mended at once; what takes long, or is opened for, wants two looks."""

from __future__ import annotations

import pytest
from little import CHECKS, FAULTS, answer, check, current, knowledge, shows, start
from shipped import load

from diagnose.graph.model import Variant
from diagnose.reason import events as ev
from diagnose.reason.plain import SHORT, quick
from diagnose.reason.scope import Scope
from diagnose.reason.walk import Walk, begin

GUARDED = {"barrel": "fine", "failsafe": "fine"}
FINE = CHECKS["hold"]["answers"]["fine"]


def shown(otherwise: float, **more: object) -> Walk:
    """Return a walk in which one look has shown the froth, after the guards; another could show it."""
    checks = {
        **CHECKS,
        "bubbles": check("parked", 0.5, {"fine": FINE, "bubbles": shows({"froth": 0.8}, otherwise)}),
        "foam": check("parked", 1, {"fine": FINE, "foam": shows({"froth": 0.8})}),
    }
    mend = {**FAULTS["froth"]["mend"], "minutes": 20, **more}
    froth = {**FAULTS["froth"], "explains": {"loads-up": 0.5}, "mend": mend}
    known = knowledge(checks=checks, faults={**FAULTS, "froth": froth})
    return answer(start(known), **GUARDED, bubbles="bubbles")


def test_what_hardly_anything_else_shows_is_mended_at_once() -> None:
    assert (current(shown(0.01)).kind, current(shown(0.01)).id) == ("mend", "froth")
    assert current(shown(0.03)).kind == "ask"


def test_a_plain_look_of_which_nobody_was_sure_is_no_proof() -> None:
    walk = shown(0.01)
    unsure = answer(answer(start(walk.knowledge), **GUARDED), sure=False, bubbles="bubbles")
    assert current(unsure).kind == "ask"


@pytest.mark.parametrize("more", [{"minutes": 25}, {"state": "stripped"}])
def test_a_long_mend_and_one_that_opens_the_engine_want_a_second_look_however_plain_the_first(
    more: dict[str, object],
) -> None:
    walk = shown(0.01, **more)
    assert current(walk).kind == "ask"
    assert current(answer(walk, foam="foam")).kind == "mend"


def test_a_long_mend_that_no_other_look_can_show_waits_for_the_same_look_once_more() -> None:
    checks = {**CHECKS, "bubbles": check("parked", 20, {"fine": FINE, "bubbles": shows({"froth": 0.99}, 0.001)})}
    mend = {**FAULTS["froth"]["mend"], "minutes": 25}
    known = knowledge(checks=checks, faults={**FAULTS, "froth": {**FAULTS["froth"], "mend": mend}})
    walk = answer(start(known), **GUARDED, bubbles="bubbles", hold="fine")
    assert (current(walk).kind, current(walk).id) == ("ask", "bubbles")
    assert current(answer(walk, bubbles="bubbles")).kind == "mend"


def test_a_leak_at_the_head_is_not_mended_on_one_look() -> None:
    scope = Scope(load(), Variant())
    assert scope.faults["head-leaks"].mend.minutes <= SHORT
    assert not quick(scope, "head-leaks")
    assert quick(scope, "carburettor-base-leak")


def test_a_carburettor_that_moves_is_tightened_now() -> None:
    known = load()
    walk = begin(known, ev.Started(0.0, known.digest, "revs-hang", "", Variant()))
    walk = walk.plus(ev.Answered(0.0, "wiggle-and-roll", "carburettor moves"))
    assert (current(walk).kind, current(walk).id) == ("mend", "carburettor-base-leak")


def two_found(otherwise: float) -> Walk:
    """Return a walk in which one of two findings was mended, and its look made again; the other stands."""
    plain = check("parked", 2, {"fine": FINE, "bleeds": shows({"line-off": 0.9}, otherwise)}, name="hold")
    known = knowledge(checks={**CHECKS, "hold": plain})
    walk = answer(start(known), **GUARDED, hold="bleeds", bubbles="bubbles").plus(ev.Mended(10, "froth"))
    return answer(walk, 10, bubbles="fine")


def test_what_else_was_found_plainly_is_mended_before_it_is_tried_again() -> None:
    step = current(two_found(0.01), 10)
    assert (step.kind, step.id) == ("mend", "line-off")
    assert step.why == "'Hold' showed it as well."
    assert current(two_found(0.03), 10).kind == "retest"  # one run tells whether it was only that
    walk = answer(two_found(0.01).plus(ev.Mended(20, "line-off")), 20, hold="fine")
    assert current(walk, 20).kind == "retest"
    cured = walk.plus(ev.Retested(30, "cured")).verdict()
    assert cured is not None
    assert set(cured.mended) == {"froth", "line-off"}


def test_a_look_that_was_never_made_comes_before_one_that_is_made_twice() -> None:
    checks = {
        **CHECKS,
        "bubbles": check("parked", 0.5, {"fine": FINE, "bubbles": shows({"froth": 0.8})}, name="bubbles"),
        "foam": check("parked", 4, {"fine": FINE, "foam": shows({"froth": 0.8})}, name="foam"),
    }
    froth = {**FAULTS["froth"], "mend": {**FAULTS["froth"]["mend"], "minutes": 60}}
    walk = answer(start(knowledge(checks=checks, faults={**FAULTS, "froth": froth})), **GUARDED, bubbles="bubbles")
    walk = answer(walk, hold="fine")  # so that the bubbles would not be asked twice in a row
    assert current(walk).id == "foam"
