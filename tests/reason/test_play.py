"""The one driver: it keeps the clock, stops where nothing is answered, and does not turn in a circle for ever."""

from __future__ import annotations

import pytest
from little import knowledge
from msgspec.structs import replace

from diagnose.graph.model import Variant
from diagnose.reason import events as ev
from diagnose.reason.play import play, seconds, usual
from diagnose.reason.view import Choice, Step
from diagnose.reason.walk import Walk, begin

STARTED = ev.Started(0.0, "", "loads-up", "", Variant(), recorded=True)


def healthy(walk: Walk, step: Step) -> str:
    return walk.scope.checks[step.id].healthy if step.kind in ("ask", "recheck") else usual(step)


def test_each_step_leads_from_the_walk_before_it_to_the_one_after_and_the_clock_goes_on() -> None:
    walk, minutes = begin(knowledge(), STARTED), 7.0
    for made in play(walk, healthy, minutes):
        assert made.before.events == walk.events
        assert made.walk.events == (*walk.events, made.event)
        assert made.minutes == minutes + made.step.minutes
        assert made.event.at == seconds(made.minutes)
        walk, minutes = made.walk, made.minutes
    assert walk.verdict() is not None


def test_it_stops_where_nothing_is_answered() -> None:
    every = list(play(begin(knowledge(), STARTED), healthy))

    def until_the_third(walk: Walk, step: Step) -> str | None:
        return healthy(walk, step) if len(walk.events) < 3 else None

    assert [made.step for made in play(begin(knowledge(), STARTED), until_the_third)] == [one.step for one in every[:2]]


def test_a_walk_without_end_is_left(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("diagnose.reason.play.MOST_STEPS", 2)
    made = list(play(begin(knowledge(), STARTED), healthy))
    assert len(made) == 2
    assert made[-1].walk.verdict() is None


def test_a_step_that_asks_nothing_is_done_whatever_its_kind_and_else_takes_its_first_choice() -> None:
    step = Step("undo", "", "", "", "", choices=(Choice("not now", ""), Choice("done", "")))
    assert usual(step) == "done"
    assert usual(replace(step, choices=(Choice("ready", ""), Choice("won't run", "")))) == "ready"
