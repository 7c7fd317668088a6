"""What was seen unasked counts: any look can be recorded at any time, and a finding leads to symptom or mend."""

from __future__ import annotations

import pytest
from little import answer, current, start
from shipped import load

from diagnose.graph.model import Variant
from diagnose.graph.seek import seeker
from diagnose.reason import events as ev
from diagnose.reason.seen import fitting, recordable, shown
from diagnose.reason.walk import Walk, begin

KNOWN = load()


def begun(symptom: str) -> Walk:
    return begin(KNOWN, ev.Started(0.0, KNOWN.digest, symptom, "", Variant()))


@pytest.mark.parametrize("symptom", ["revs-hang", "dies-braking-landing-or-cornering", "will-not-start"])
def test_every_look_that_makes_sense_can_be_recorded_before_anything_was_answered(symptom: str) -> None:
    walk = begun(symptom)
    told = {one.check for one in recordable(walk)}
    sensible = {name for name, check in walk.scope.checks.items() if not KNOWN.senseless(check, symptom)}
    swaps = {name for name in sensible if walk.scope.swaps(name)}
    assert told >= sensible - swaps
    assert not {name for name in told if KNOWN.senseless(KNOWN.checks[name], symptom)}


def seen_before(walk: Walk) -> Walk:
    """Return the walk with bubbles that were seen while the engine ran, before anything was guarded."""
    return walk.plus(walk.choose(walk.ask("bubbles", before=True), "bubbles", 1.0))


def test_what_was_seen_while_it_ran_moves_the_belief_and_nothing_on_the_bench() -> None:
    walk = answer(start(), hold="fine")
    after = seen_before(walk)
    assert after.standing.belief["froth"] > walk.standing.belief["froth"]
    assert (after.state.bench, after.state.last) == ("parked", "hold")
    assert walk.ask("bubbles", before=True).engine == "off"
    assert not walk.ask("bubbles", before=True).how


def test_what_was_seen_before_opens_no_gate() -> None:
    walk = start()
    told = walk.plus(walk.choose(walk.ask("bubbles", before=True), "fine", 1.0))
    assert "froth" in told.standing.first_owed
    assert not told.state.healthy(told.scope, "bubbles")


def test_the_guards_still_come_before_a_look_that_was_seen_before_is_made() -> None:
    assert current(seen_before(start())).id in ("barrel", "failsafe")


def test_what_was_seen_before_can_be_taken_back() -> None:
    walk = seen_before(start())
    taken = walk.take_back(2.0)
    assert taken is not None
    assert not walk.plus(taken).state.answers


def test_a_note_is_on_the_trail_and_in_the_hand_over() -> None:
    from diagnose.reason.hand_over import groups

    view = start().plus(ev.Noted(1.0, "it smells of rubber")).view(1.0)
    assert [line.what for line in view.trail] == ["it smells of rubber"]
    assert ("I noted", "·", ("it smells of rubber",)) in groups(view)


WORDS = {
    "carburettor is loose": "wiggle-and-roll",
    "thick smoke on the straight": "smoke-on-the-straight",
    "bubbles in the line": "bubbles",
}


@pytest.mark.parametrize("typed", WORDS)
def test_words_for_what_was_seen_find_the_look(typed: str) -> None:
    assert WORDS[typed] in [one.id for one in seeker(KNOWN, "looks").find(typed, 3)]


def test_a_finding_leads_to_the_symptoms_that_are_due_to_it_and_says_the_fault_that_it_shows() -> None:
    found = fitting(KNOWN, Variant(), "wiggle-and-roll", "carburettor moves")
    assert shown(KNOWN, Variant(), "wiggle-and-roll", "carburettor moves") == "carburettor-base-leak"
    assert found
    for symptom in found[:3]:
        assert "carburettor-base-leak" in KNOWN.explaining(symptom, Variant())
        walk = begun(symptom).plus(ev.Answered(0.0, "wiggle-and-roll", "carburettor moves"))
        assert (current(walk).kind, current(walk).id) == ("mend", "carburettor-base-leak")
