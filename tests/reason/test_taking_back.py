"""Whatever is taken back, and whatever time goes by: the walk can be shown, and what was turned is counted."""

from __future__ import annotations

import random
from typing import get_args

import pytest
from amount import amount
from little import SOUND, answer, current, start, warm
from shipped import load

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Screw, Variant, every_variant, signed
from diagnose.reason import events as ev
from diagnose.reason.passing import MANY_HOURS
from diagnose.reason.view import Step
from diagnose.reason.walk import Walk, begin, replay

KNOWLEDGE = load()
VARIANTS = list(every_variant())
WALKS = amount(1, quick=1, long=50)
MOST_STEPS = 90
SAID: tuple[ev.Incident, ...] = get_args(ev.Incident)


def counted(walk: Walk) -> dict[Screw, float]:
    """Return the hours that each screw stands from where it was, from what hands did: no key takes that back."""
    turned: dict[Screw, float] = {}
    turns: list[ev.Adjusted] = []
    for event in walk.events:
        match event:
            case ev.Adjusted():
                turns.append(event)
            case ev.Undone():
                turns.pop()
            case ev.Restored():
                turns = []
            case ev.Mended() if (fault := walk.scope.faults[event.fault]).mend.back:
                turns = [turn for turn in turns if turn.screw != fault.screw]
            case _:
                pass
    for turn in turns:
        for screw, hours in {turn.screw: signed(turn.way, turn.hours), **turn.follow}.items():
            turned[screw] = turned.get(screw, 0.0) + hours
    return turned


def assert_whole(walk: Walk, now: float) -> None:
    """Hold a walk to what must always be so."""
    view = walk.view(now)
    assert (view.step is None) == (view.verdict is not None)
    needles = {screw: hours for screw, hours in walk.state.turned.items() if hours and screw != "idle stop"}
    assert needles == {screw: hours for screw, hours in counted(walk).items() if hours and screw != "idle stop"}


def assert_looked_at_today(walk: Walk, step: Step) -> None:
    """No needle is offered on looks from before a long break."""
    if step.kind != "adjust":
        return
    times = [event.at for event in walk.events]
    broken = [n for n in range(1, len(times)) if times[n] - times[n - 1] > MANY_HOURS * 3600]
    broken += [n for n, event in enumerate(walk.events) if ev.another_day(event)]
    since = walk.events[max(broken, default=0) :]
    answered = {event.check for event in since if isinstance(event, ev.Answered | ev.Measured)}
    for guard in walk.scope.guards:
        assert guard in answered
    swapped = {fault for check in answered for fault in [walk.scope.swaps(check)] if fault}
    looked = {fault for check in answered for fault in walk.scope.clears(check)} | swapped
    assert KNOWLEDGE.first_owed(walk.symptom, walk.variant) <= looked
    assert any(isinstance(event, ev.Prepared) for event in since)


def meddled(symptom: str, variant: Variant, rng: random.Random) -> set[str]:
    """Walk at random, take back at random, let time go by at random; return what kinds of event came up."""
    walk = begin(KNOWLEDGE, ev.Started(0.0, KNOWLEDGE.digest, symptom, "", variant, recorded=rng.random() < 0.3))
    healthy, restless, now = rng.choice((0.7, 0.9, 0.98)), rng.choice((0.03, 0.2)), 0.0
    for _ in range(MOST_STEPS):
        step = walk.step(now)
        if step is None or rng.random() < restless:
            walk, now = taken_back(walk, rng, now), now + 5
            assert_whole(walk, now)
            continue
        assert_looked_at_today(walk, step)
        choice = rng.choice(step.choices).id
        if step.kind in ("ask", "recheck") and rng.random() < healthy:
            choice = KNOWLEDGE.checks[step.id].healthy
        if step.kind in ("mend", "prepare", "restore", "adjust") and rng.random() < healthy:
            choice = step.choices[0].id
        if step.kind == "retest":
            choice = rng.choice(("better", "same", "worse"))
        now += step.minutes * 60 + (rng.choice((1500, 36_000)) if rng.random() < restless / 8 else 0)
        try:
            walk = walk.plus(walk.choose(step, choice, now, sure=rng.random() < 0.9))
        except DiagnoseError:  # time went by: the head has to be read again
            assert step.kind == "adjust"
        if walk.state.unasked or rng.random() < 0.01:
            walk = walk.plus(ev.Happened(now, rng.choice(SAID)))
        if rng.random() < 0.2:
            assert_whole(walk, now)
    assert replay(KNOWLEDGE, [ev.from_json(ev.to_json(event)) for event in walk.events]).view(now) == walk.view(now)
    for line in walk.view(now).trail:
        if line.can_take_back:
            walk.plus(ev.Retracted(now, line.number)).view(now)
    return {type(event).__name__ for event in walk.events}


def taken_back(walk: Walk, rng: random.Random, now: float) -> Walk:
    """Take back any event, if that can be done."""
    for number in rng.sample(range(len(walk.events)), len(walk.events)):
        try:
            return walk.plus(ev.Retracted(now, number))
        except DiagnoseError:
            continue
    return walk


@pytest.mark.parametrize("symptom", sorted(KNOWLEDGE.symptoms))
@pytest.mark.slow
def test_any_event_can_be_taken_back_at_any_time(symptom: str) -> None:
    rng = random.Random(symptom)
    kinds: set[str] = set()
    for variant in VARIANTS:
        for _ in range(WALKS):
            kinds |= meddled(symptom, variant, rng)
    for _ in range(100):  # few walks of some symptoms come to a re-test
        if "Retested" not in kinds:
            kinds |= meddled(symptom, variant, rng)
    assert {"Retracted", "Answered", "Retested"} <= kinds


def turned_and_worse() -> Walk:
    """Turn the low needle leaner and find it worse; the step that follows turns it back."""
    walk = warm(answer(start(), **SOUND, pinch="long climb"))
    walk = walk.plus(walk.choose(current(walk), "done", 30)).plus(ev.Listened(45, "idle stop"))
    walk = walk.plus(ev.Retested(60, "worse"))
    assert current(walk, 60).kind == "undo"
    return walk


def number_of(walk: Walk, kind: type[ev.Event]) -> int:
    return next(n for n, event in enumerate(walk.events) if isinstance(event, kind))


def test_a_retest_is_not_taken_back_once_its_turn_was_turned_back() -> None:
    walk = turned_and_worse().plus(ev.Undone(90))
    with pytest.raises(DiagnoseError, match="something was done to the engine after that"):
        walk.plus(ev.Retracted(100, number_of(walk, ev.Retested)))
    assert not any(line.can_take_back for line in walk.view(100).trail if "tried it again" in line.what)


def test_a_retest_can_be_taken_back_while_nothing_rests_on_it() -> None:
    walk = turned_and_worse()
    walk = walk.plus(ev.Retracted(100, number_of(walk, ev.Retested)))
    assert current(walk, 100).kind == "retest"
    walk = walk.plus(ev.Retested(110, "worse")).plus(ev.Undone(120))  # what was taken back before stays taken back
    assert walk.state.turned.get("low needle", 0.0) == 0.0
    assert walk.view(130).trail[-2].what == "tried it again: worse"


@pytest.mark.parametrize("outcome", ["better", "same", "worse", "cured"])
def test_a_journal_in_which_a_retest_was_taken_back_too_late_is_read_all_the_same(outcome: ev.Outcome) -> None:
    walk = turned_and_worse().plus(ev.Undone(90))
    stored = [*walk.events, ev.Retracted(100, number_of(walk, ev.Retested)), ev.Retested(110, outcome)]
    read = replay(walk.knowledge, stored)
    assert read.view(120).trail
    assert read.state.turned.get("low needle", 0.0) == 0.0


def test_what_cannot_be_tried_any_more_is_not_tried() -> None:
    walk = warm(answer(start(), **SOUND, pinch="long climb"))
    walk = walk.plus(walk.choose(current(walk), "done", 30))
    walk = walk.plus(ev.Answered(40, "barrel", "open"))  # it must stay off, and the turn can't be tried
    walk = walk.plus(ev.Undone(50))
    assert not walk.state.retest
    assert walk.plus(ev.Answered(60, "barrel", "fine")).view(70).step is not None


def test_a_swap_that_was_tried_is_taken_back_after_its_trial() -> None:
    walk = answer(start(), barrel="fine", failsafe="fine", new_plug="cured").plus(ev.Retested(0, "cured"))
    with pytest.raises(DiagnoseError, match="take that back first"):
        walk.plus(ev.Retracted(0, 3))
    walk = walk.plus(ev.Retracted(0, 4)).plus(ev.Retracted(0, 3))
    assert current(walk).kind == "ask"


def test_a_retraction_of_what_is_not_there_counts_for_nothing() -> None:
    walk = answer(start(), hold="fine")
    assert "hold" in replay(walk.knowledge, [*walk.events, ev.Retracted(0, 9)]).state.answers
