"""Rule 8: what is left in doubt about mechanical faults is looked at before a needle is turned, or the record."""

from __future__ import annotations

from typing import Any

import pytest
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

from diagnose.graph.model import Adjust, Knowledge
from diagnose.reason.doubt import LIMIT, Doubt
from diagnose.reason.gate import locks
from diagnose.reason.walk import Walk

FINE: dict[str, Any] = CHECKS["hold"]["answers"]["fine"]


def known(weight: float, **checks: dict[str, Any]) -> Knowledge:
    """Return the little knowledge with nothing inside, and froth of this weight, of which `checks` are other looks."""
    faults = {**FAULTS, "dirt": {**FAULTS["dirt"], "explains": {"loads-up": 0.01}}}
    faults["low-rich"] = {**FAULTS["low-rich"], "explains": {"loads-up": 1}}
    faults["froth"] = {**FAULTS["froth"], "explains": {"loads-up": weight}}
    return knowledge(faults=faults, checks={**CHECKS, **checks})


FOAM = check("parked", 2, {"fine": FINE, "foam": shows({"froth": 0.9})}, name="foam")


def at_the_needle(weight: float, **checks: dict[str, Any]) -> Walk:
    """Stand at the needle, with everything owed looked at once and found well."""
    return answer(warm(answer(start(known(weight, **checks)), **SOUND, soap="fine")), pinch="long climb")


def locked(walk: Walk) -> list[str]:
    """Return why rule 8 locks the first hour."""
    node = walk.symptom and walk.knowledge.symptoms[walk.symptom].route["leaner"]
    assert isinstance(node, Adjust)
    return [lock.because for lock in locks(walk.standing, node, 0.0) if lock.rule == 8]


def test_a_different_look_at_what_one_look_struck_comes_before_a_needle() -> None:
    walk = at_the_needle(10, foam=FOAM)
    assert Doubt(walk.standing).left > LIMIT
    assert locked(walk) == ["it may still be: a fault. This can show it: foam"]
    assert (current(walk).kind, current(walk).id) == ("ask", "foam")
    assert locked(answer(walk, foam="fine")) == []


def test_little_that_is_left_locks_nothing() -> None:
    walk = at_the_needle(0.1, foam=FOAM)
    assert Doubt(walk.standing).left <= LIMIT
    assert locked(walk) == []
    assert current(walk).kind == "adjust"


def test_the_same_look_is_made_again_only_when_no_other_can_show_it() -> None:
    assert current(at_the_needle(10)).id == "bubbles"
    walk = at_the_needle(10, foam=FOAM)
    assert current(walk).id == "foam"
    assert locked(answer(at_the_needle(10), bubbles="fine")) == []  # twice, and there is no other: it holds up no more


@pytest.mark.parametrize("said", ["can't tell", "no tool now"])
def test_a_different_look_that_cannot_be_made_holds_nothing_up(said: str) -> None:
    walk = answer(at_the_needle(10, foam=FOAM), foam=said)
    assert "foam" not in "".join(locked(walk))


def test_what_only_a_strip_down_shows_comes_before_the_first_hour_when_it_is_likely() -> None:
    faults = {**FAULTS, "low-rich": {**FAULTS["low-rich"], "explains": {"loads-up": 1}}}
    walk = answer(answer(start(knowledge(faults=faults)), **SOUND, soap="fine"), bubbles="fine")
    walk = answer(answer(warm(walk), pinch="long climb"), hold="fine")
    assert "jet" in locked(walk)[0]
    assert current(walk).id == "jet"
    assert locked(answer(walk, jet="fine")) == []


def test_a_look_that_still_accuses_locks_every_needle_until_it_is_made_again_and_then_mended() -> None:
    walk = answer(at_the_needle(0.3, foam=FOAM), foam="foam")
    assert "froth" not in walk.standing.accused  # the bubbles outvote it
    assert "foam" in locked(walk)[0]
    walk = answer(answer(walk, hold="fine"), foam="foam")
    assert "foam" in locked(walk)[0]
    assert (current(walk).kind, current(walk).id) == ("mend", "froth")


def test_a_different_look_comes_before_going_back_and_before_a_strip_down() -> None:
    symptoms = raw()["symptoms"]
    back = {"node": "prepare", "prepare": "going-back", "then": "hand over"}
    open_up = {"node": "sweep", "sweep": ["fuel"], "look": "strip", "then": "hand over"}
    for node, due in ((back, "going-back"), (open_up, "jet")):
        symptoms["loads-up"]["route"] = {**ROUTE, "outside": {**ROUTE["outside"], "then": "next"}, "next": node}
        likely = {**FAULTS, "froth": {**FAULTS["froth"], "explains": {"loads-up": 10}}}
        more = knowledge(symptoms=symptoms, checks={**CHECKS, "foam": FOAM}, faults=likely)
        walk = answer(start(more, recorded=True), **SOUND, soap="fine")
        assert current(walk).id == "foam"
        assert current(answer(walk, foam="fine")).id == due


def test_with_nothing_in_doubt_the_gate_opens() -> None:
    walk = answer(warm(in_no_doubt(start())), pinch="long climb")
    assert locked(walk) == []
    assert current(walk).kind == "adjust"


def test_what_cannot_be_looked_at_in_one_sweep_holds_up_no_other() -> None:
    symptoms = raw()["symptoms"]
    symptoms["loads-up"]["route"] = {
        **ROUTE,
        "outside": {"node": "sweep", "sweep": ["tank"], "then": "the rest"},
        "the rest": {"node": "sweep", "sweep": ["linkage", "fuel", "ignition"], "then": "pinch"},
    }
    walk = answer(start(knowledge(symptoms=symptoms)), hold="no tool now", soap="no tool now")
    assert walk.standing.position.node == "outside"
    assert current(walk).id == "barrel"
    walk = answer(walk, barrel="fine", failsafe="fine")
    assert current(walk).id == "bubbles"
    walk = answer(walk, bubbles="fine", new_plug="same")
    assert "line-off" in walk.standing.first_owed  # and no needle is turned
    assert "could not be looked for" in planned(walk).ask


def test_that_the_screws_hold_much_ends_no_doubt_that_a_look_never_made_could_end() -> None:
    walk = at_the_needle(1, foam=FOAM)
    doubt = Doubt(walk.standing)
    assert doubt.left <= LIMIT < sum(doubt.tempered.values())
    assert locked(walk) == ["it may still be: a fault. This can show it: foam"]
    assert locked(answer(walk, foam="fine")) == []


def test_what_a_screw_holds_is_said_tempered_and_reasoned_with_as_it_is() -> None:
    standing = at_the_needle(3).standing
    screw, part = "low-rich", "froth"
    assert standing.spoken[screw] / standing.spoken[part] == pytest.approx(
        0.25 * standing.belief[screw] / standing.belief[part]
    )
    assert sum(standing.spoken.values()) == pytest.approx(1.0)
    assert list(standing.spoken) == list(standing.belief)
