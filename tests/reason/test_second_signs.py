"""What is looked at twice: before a mend, after one, and when two looks disagree."""

from __future__ import annotations

import pytest
from little import CHECKS, FAULTS, SOUND, answer, check, current, knowledge, shows, start

from diagnose.reason import events as ev
from diagnose.reason.mending import Mending
from diagnose.reason.standing import Standing


def mend(minutes: float) -> dict[str, dict[str, object]]:
    return {**FAULTS, "froth": {**FAULTS["froth"], "mend": {**FAULTS["froth"]["mend"], "minutes": minutes}}}


GUARDED = {"barrel": "fine", "failsafe": "fine"}


@pytest.mark.parametrize(("minutes", "kind"), [(0.1, "mend"), (60, "ask")])
def test_one_more_look_is_made_when_it_costs_less_than_a_mend_in_vain(minutes: float, kind: str) -> None:
    slow = {**CHECKS, "bubbles": {**CHECKS["bubbles"], "minutes": 3}}
    walk = answer(start(knowledge(faults=mend(minutes), checks=slow)), **GUARDED, bubbles="bubbles")
    assert current(walk).kind == kind


def test_what_shows_each_time_is_looked_at_twice_and_no_more() -> None:
    walk = answer(answer(start(knowledge(faults=mend(60))), **GUARDED, bubbles="bubbles"), hold="fine")
    assert (current(walk).kind, current(walk).id) == ("ask", "bubbles")
    assert current(answer(walk, bubbles="bubbles")).kind == "mend"


def test_a_third_look_decides_when_the_second_did_not_show_it() -> None:
    walk = answer(start(), **GUARDED, bubbles="bubbles")
    walk = answer(answer(walk, bubbles="fine"), hold="fine")
    assert (current(walk).kind, current(walk).id) == ("ask", "bubbles")
    assert current(answer(walk, bubbles="fine")).id != "bubbles"
    assert current(answer(walk, bubbles="bubbles")).id == "froth"


def test_who_was_not_sure_and_then_is_settles_it_in_two() -> None:
    walk = answer(answer(start(), **GUARDED), sure=False, bubbles="bubbles")
    assert current(answer(walk, bubbles="fine")).id != "bubbles"


def test_a_second_look_counts_for_less_than_a_first_and_for_more_than_none() -> None:
    def froth(*said: str) -> float:
        walk = start()
        for one in said:
            walk = answer(walk, bubbles=one)
        return walk.standing.belief["froth"]

    assert froth("bubbles") < froth("bubbles", "bubbles")
    assert froth("fine", "bubbles") < froth("bubbles")
    once, twice = froth("bubbles") / (1 - froth("bubbles")), froth("bubbles", "bubbles")
    assert twice / (1 - twice) < once * 0.8 / 0.03  # two independent looks would come to this at least


FOAM = {
    **CHECKS,
    "foam": check("parked", 2, {"fine": CHECKS["hold"]["answers"]["fine"], "foam": shows({"froth": 0.8})}),
}


@pytest.mark.parametrize(("weight", "stands"), [(2, False), (10, True)])
def test_an_accusation_that_another_look_contradicts_stands_only_while_it_is_likely(weight: int, stands: bool) -> None:
    likely = {**FAULTS["froth"], "explains": {"loads-up": weight}}
    walk = answer(start(knowledge(checks=FOAM, faults={**FAULTS, "froth": likely})), bubbles="bubbles", foam="fine")
    assert ("froth" in walk.standing.accused) is stands


def test_what_shows_after_the_mend_is_looked_at_once_more_before_the_mend_was_in_vain() -> None:
    walk = answer(start(), **SOUND | {"bubbles": "bubbles"}).plus(ev.Mended(0, "froth"))
    walk = answer(walk, bubbles="bubbles")
    assert current(walk).id == "soap"  # another look comes between two of the same
    walk = answer(walk, soap="fine")
    assert current(walk).kind == "recheck"
    assert walk.state.in_vain == set()
    assert current(answer(walk, bubbles="fine")).kind == "retest"
    assert answer(walk, bubbles="bubbles").state.in_vain == {"froth"}


BLOCKED = {
    "hold": check(
        "parked",
        2,
        {
            "fine": CHECKS["hold"]["answers"]["fine"],
            "bleeds": shows({"lid-leaks": 0.9}),
            "blocked": shows({"line-off": 0.9}),
        },
        name="hold",
    )
}


def test_another_finding_of_the_same_check_does_not_make_the_mend_one_in_vain() -> None:
    walk = answer(start(knowledge(checks={**CHECKS, **BLOCKED})), **GUARDED, hold="bleeds")
    walk = answer(walk.plus(ev.Mended(0, "lid-leaks")), hold="blocked")
    walk = answer(walk, hold="blocked")
    assert walk.state.in_vain == set()
    assert "line-off" in walk.standing.accused
    assert current(walk).kind == "retest"  # it may be gone, whatever else was found
    assert walk.plus(ev.Retested(0, "same")).standing.shares.keys() == {"line-off"}


def test_what_can_be_mended_comes_before_the_hand_over_for_what_still_shows() -> None:
    walk = answer(start(), **SOUND | {"bubbles": "bubbles"}).plus(ev.Mended(0, "froth"))
    walk = answer(answer(walk, bubbles="bubbles"), bubbles="bubbles")
    assert Standing(walk.scope, walk.state).dead_accusations == ["bubbles"]
    found = answer(walk, hold="bleeds", soap="suds")
    assert current(found).id in ("soap", "lid-leaks")


def test_the_same_look_once_more_unmasks_a_slip_and_tells_no_faults_apart() -> None:
    both = {
        **CHECKS,
        "bubbles": check("parked", 2, {"fine": CHECKS["hold"]["answers"]["fine"], "bubbles": shows(BOTH)}),
    }
    walk = answer(start(knowledge(checks=both)), bubbles="bubbles")
    once, twice = walk.standing.belief, answer(walk, bubbles="bubbles").standing.belief
    assert twice["froth"] / twice["dirt"] == pytest.approx(once["froth"] / once["dirt"])
    assert twice["froth"] / twice["line-off"] > 2 * once["froth"] / once["line-off"]


BOTH = {"froth": 0.8, "dirt": 0.3}


@pytest.mark.parametrize(("minutes", "due"), [(20, "froth"), (21, "foam")])
def test_a_long_mend_waits_for_a_different_look_that_costs_less(minutes: float, due: str) -> None:
    sure = {
        **FOAM["bubbles"],
        "minutes": 30,
        "answers": {**FOAM["bubbles"]["answers"], "bubbles": shows({"froth": 0.99}, 0.001)},
    }  # nor does this, made again
    foam = {**FOAM["foam"], "minutes": 19}  # dear enough not to pay by itself
    walk = start(knowledge(faults=mend(minutes), checks={**FOAM, "bubbles": sure, "foam": foam}))
    walk = answer(walk, **GUARDED, bubbles="bubbles")
    assert current(walk).id == due
    assert current(answer(walk, foam="foam")).kind == "mend"


def test_a_look_that_names_none_of_the_accused_tells_nothing_apart() -> None:
    """What is outvoted takes a share of the belief with it: what is left must not look like doubt."""
    two = {**CHECKS["hold"], "answers": {**CHECKS["hold"]["answers"], "bleeds": shows({"line-off": 0.9, "froth": 0.8})}}
    walk = answer(start(knowledge(checks={**CHECKS, "hold": two})), **GUARDED)
    walk = answer(walk, hold="bleeds", bubbles="fine")
    mending, shares = Mending(walk.decision.looking), {"line-off": 0.3, "lid-leaks": 0.1}
    apart = mending._telling_apart(shares)
    assert apart is not None
    assert apart.id == "soap"
    assert mending._telling_apart({"line-off": 0.2, "held-open": 0.001}) is None
