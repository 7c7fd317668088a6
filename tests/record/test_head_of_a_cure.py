"""A good tune carries the head that was read after it, and never the one from before the turn that made it."""

from __future__ import annotations

import pytest
from little import SOUND, answer, current, knowledge, start, warm

from diagnose.errors import DiagnoseError
from diagnose.reason import events as ev
from diagnose.reason.walk import Walk
from diagnose.record.ledger import done
from diagnose.tune.needles import Good


def cured(*after: ev.Event, before: tuple[ev.Event, ...] = ()) -> Walk:
    """Return a walk that a turn cured, with the head at 96 °C before the turn."""
    walk = answer(warm(answer(start(knowledge()), **SOUND), head=96.0), pinch="long climb")
    walk = walk.plus(walk.choose(current(walk, 20), "done", 20)).plus(ev.Listened(30, "idle stop"))
    for event in (*before, ev.Retested(60, "cured")):
        walk = walk.plus(event)
    while (step := walk.step(70)) is not None:
        walk = walk.plus(ev.Answered(70, step.id, "short climb"))
    for event in after:
        walk = walk.plus(event)
    return walk


def head(walk: Walk) -> float | None:
    (good,) = (one for one in done(walk.events, walk.knowledge, "one") if isinstance(one, Good))
    return good.conditions.head


def test_the_head_from_before_the_turn_is_not_the_tunes() -> None:
    assert head(cured()) is None
    assert head(cured(ev.HeadRead(80))) is None


def test_the_head_that_is_read_after_the_cure_is_the_tunes() -> None:
    assert head(cured(ev.HeadRead(80, 101.0))) == 101.0


def test_a_head_that_was_read_between_the_turn_and_the_cure_is_the_tunes() -> None:
    between = ev.Prepared(50, "bring-to-heat", "ready", head=99.0)
    assert head(cured(before=(between,))) == 99.0
    assert head(cured(ev.HeadRead(80, 101.0), before=(between,))) == 101.0


def test_the_head_is_asked_after_a_turn_that_cured_until_it_is_said() -> None:
    assert cured().state.asks_head
    assert not cured(ev.HeadRead(80, 101.0)).state.asks_head
    assert cured(ev.HeadRead(80, 101.0)).verdict() == cured().verdict()


def test_the_head_is_not_asked_after_a_mend() -> None:
    walk = answer(start(knowledge()), barrel="fine", failsafe="fine", hold="bleeds").plus(ev.Mended(5, "line-off"))
    walk = answer(walk, 6, hold="fine").plus(ev.Retested(60, "cured"))
    assert walk.state.verdict == "cured"
    assert not walk.state.asks_head


def test_what_ended_the_walk_can_still_be_taken_back_after_the_head_was_said() -> None:
    walk = cured(ev.HeadRead(80, 101.0))
    reopened = walk.reopen(90)
    assert reopened is not None
    assert walk.plus(reopened).verdict() is None


@pytest.mark.parametrize("value", [-300.0, 5000.0])
def test_a_head_that_cannot_be_is_refused(value: float) -> None:
    with pytest.raises(DiagnoseError, match="can't be") as told:
        cured(ev.HeadRead(80, value))
    assert "read it again" in str(told.value)
