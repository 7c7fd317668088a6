"""What time alone does to a walk: an absence leaves a question open, and another day leaves nothing in order."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from msgspec.structs import replace

from diagnose.reason import events as ev

if TYPE_CHECKING:
    from collections.abc import Iterable

    from diagnose.reason.scope import Scope
    from diagnose.reason.state import State

PATIENCE = 20.0
"""Minutes without an answer after which nobody knows what has happened to the car since. A judgement."""

SLACK = 1.5
"""A step that takes long itself may take this many times its minutes."""

MANY_HOURS = 8.0
"""Hours after which it counts as another day, whatever the calendar says. A judgement."""


def away(gap: float, minutes: float = 0.0) -> bool:
    """Say whether `gap` seconds are an absence for a step of so many minutes. A clock that was put back is one too."""
    return abs(gap) > 60 * max(PATIENCE, SLACK * minutes)


def many_hours(gap: float) -> bool:
    """Say whether `gap` seconds count as another day by themselves."""
    return abs(gap) > 3600 * MANY_HOURS


def at_the_car(events: Iterable[ev.Event]) -> float:
    """Return the minutes of a walk without its absences."""
    gaps = (later.at - before.at for before, later in pairwise(events))
    return sum(gap for gap in gaps if not away(gap)) / 60


def passed(scope: Scope, state: State, gap: float, event: ev.Event) -> None:
    """Fold in the `gap` seconds before an event, of which the walk knows nothing yet."""
    if many_hours(gap):
        another_day(scope, state)
    elif away(gap) and away(gap, _minutes(scope, state, event)):
        state.heat = None
        state.unasked = bool(state.answers)


def another_day(scope: Scope, state: State, today: ev.Started | None = None) -> None:
    """Drop all that was in order, the guards too, and what was read off yesterday's air; what was wrong stays wrong.

    `today` is how the walk would start now: its drift, and where the record goes on this day.
    """
    for name, given in list(state.answers.items()):
        said = scope.checks[name].answers[given.answer]
        if said.healthy or "rich" in said.sign.values():  # what was rich yesterday may be lean in today's air
            del state.answers[name]
            state.asked.pop(name, None)
    state.passed = {
        name: answer for name, answer in state.passed.items() if not scope.checks[name].answers[answer].healthy
    }
    state.unanswered, state.swapped, state.came_ready = {}, {}, set()
    state.heat, state.tries, state.cooled = None, 0, 0
    state.bench, state.deadline, state.unasked = "parked", None, False
    state.drift = today.drift if today else None
    state.explained = dict(today.explained) if today else {}
    if today is not None:
        state.started = replace(
            state.started,
            recorded=today.recorded,
            back=today.back,
            back_because=today.back_because,
            back_blind=today.back_blind,
            drift=today.drift,
            well=today.well,
        )


def _minutes(scope: Scope, state: State, event: ev.Event) -> float:
    """Return the minutes that the step behind an event takes by itself."""
    match event:
        case ev.Answered() | ev.Measured():
            check = scope.checks[event.check]
            return check.minutes + scope.change(state.bench, check.state)
        case ev.Mended() | ev.Deferred() if event.fault in scope.faults:
            mend = scope.faults[event.fault].mend
            return mend.minutes + scope.change(state.bench, mend.state)
        case ev.Prepared():
            return scope.knowledge.preparations[event.preparation].minutes
        case ev.Retested():
            return max(symptom.retest.minutes for symptom in scope.knowledge.symptoms.values())
        case _:
            return 0.0
