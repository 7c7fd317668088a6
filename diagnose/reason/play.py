"""One driver for every walk that nobody sits at: worked cases, figures, and the simulated engines."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from diagnose.reason import events as ev
from diagnose.reason.case_names import CaseAnswer
from diagnose.reason.steps import DONE, spent
from diagnose.reason.view import Step
from diagnose.reason.walk import Walk

MOST_STEPS = 500
"""No honest walk is longer; one that is turns in a circle."""

Answers = Callable[[Walk, Step], CaseAnswer | None]
"""What is said to a step: a choice's id, the number that was read, or None to stop there."""


class Made(NamedTuple):
    """One step that was made."""

    before: Walk
    step: Step
    given: CaseAnswer
    event: ev.Event
    walk: Walk
    """The walk after it."""
    spent: float
    """Minutes that it took."""
    minutes: float
    """On the clock after it."""


def _always(_: Step) -> bool:
    return True


def play(walk: Walk, answers: Answers, minutes: float = 0.0, sure: Callable[[Step], bool] = _always) -> Iterator[Made]:
    """Take steps until the walk ends, nothing is answered, or there have been too many; the clock starts at `minutes`.

    A walk that has no verdict after that goes on for ever, unless its answers ended it.
    """
    for _ in range(MOST_STEPS):
        step = walk.step(seconds(minutes))
        if step is None or (given := answers(walk, step)) is None:
            return
        took = spent(step, given)
        minutes += took
        now = seconds(minutes)
        event = walk.choose(step, given, now, sure(step)) if isinstance(given, str) else walk.measure(step, given, now)
        after = walk.plus(event)
        yield Made(walk, step, given, event, after, took, minutes)
        walk = after


def seconds(minutes: float) -> float:
    """Return minutes on the clock in whole seconds: a head reading is two minutes old to the second."""
    return float(round(minutes * 60))


def usual(step: Step) -> str:
    """Return what whoever does as he is told says to a step that asks nothing of him: done, or the first choice."""
    said = [choice.id for choice in step.choices]
    return DONE if DONE in said else said[0]
