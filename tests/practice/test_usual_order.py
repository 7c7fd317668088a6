"""The usual order of tuning, where two needles are off: top, then bottom, then idle (common practice, no source)."""

from __future__ import annotations

from msgspec.structs import replace
from practice.learners import advised
from shipped import load

from diagnose.practice import happenings as hp
from diagnose.practice import setting
from diagnose.practice.flow import flow
from diagnose.practice.lesson import CURED, Practice
from diagnose.practice.mechanic import all_knowing
from diagnose.practice.parts import HIGH, LOW, SOUND, Screws, Weather
from diagnose.reason.scope import Scope

KNOWLEDGE = load()


def idle_mixture(screws: Screws) -> float:
    return flow(SOUND, screws, Weather(), "idle").mixture


def set_the_bottom(screws: Screws) -> Screws:
    """Turn the low needle leaner, half an hour at a time, until the idle sounds right."""
    while idle_mixture(screws) > 1:
        screws = replace(screws, low=screws.low - 0.5)
    return screws


def test_a_bottom_that_is_set_before_the_top_is_lean_once_the_top_is_right() -> None:
    rich = Screws(high=HIGH + 6, low=LOW + 2)
    bottom_first = replace(set_the_bottom(rich), high=HIGH)
    top_first = set_the_bottom(replace(rich, high=HIGH))
    half_an_hour = (1 - idle_mixture(Screws(low=LOW - 1))) / 2
    assert 1 - idle_mixture(bottom_first) > half_an_hour
    assert abs(1 - idle_mixture(top_first)) < half_an_hour


def test_who_knows_what_is_wrong_turns_the_top_before_the_bottom() -> None:
    lesson = setting.from_lesson(KNOWLEDGE, "which-one-first")
    engine = setting.engine(lesson, KNOWLEDGE)
    engine = replace(engine, troubles=tuple(sorted(engine.troubles, key=lambda one: "high" in one.fault)))
    drive = all_knowing(engine, KNOWLEDGE, Scope(KNOWLEDGE, engine.variant))
    turned = [change.what for change in drive.changes]
    assert turned[0].startswith("high needle")
    assert turned[-1].startswith("low needle")


def test_the_program_turns_the_top_before_the_bottom_where_both_are_rich() -> None:
    practice = advised(Practice(KNOWLEDGE, [setting.from_lesson(KNOWLEDGE, "which-one-first")]))
    screws = [event.screw for event in practice.events if isinstance(event, hp.TurnedScrew)]
    assert practice.ended == CURED
    assert screws[0] == "high needle"
    assert "low needle" in screws[1:]
