"""Several cars on one day, a line each: since when it stands, what it owes, and what it waits for."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.graph.wording import minutes
from diagnose.pages.parts import AnswerPart
from diagnose.reason import events as ev
from diagnose.reason.steps import COOL
from diagnose.workshop.cars import Car

HEADING = "Which car?"
NO_WALK = "no open walk"
NEVER = "has not run in a walk today"


def line(car: Car, now: float) -> str:
    """Return what is known of a car at `now`, in seconds."""
    ran = NEVER if car.ran is None else f"ran {_ago(now - car.ran)}"
    if car.outing is None:
        return f"{ran} · {NO_WALK}"
    view = car.outing.walk.view(now)
    left = view if car.now is None else car.now.view(now)
    owed = f"owes {len(left.owed)}, {minutes(left.minutes_left)}" if left.owed else "owes nothing"
    told = [f"{view.symptom_name}, step {view.number}", ran, owed, _waits(car, now)]
    return " · ".join(one for one in told if one)


def _ago(seconds: float) -> str:
    if abs(seconds) < 60:
        return "just now"
    hours, left = divmod(int(seconds // 60), 60)
    return f"{f'{hours} h ' if hours else ''}{left} min ago"


def _waits(car: Car, now: float) -> str:
    """Say what its walk waits for."""
    if car.outing is None:
        return ""
    walk = car.outing.walk
    last, step = walk.events[-1], walk.step(now)
    if isinstance(last, ev.Parked):
        return f"waits for: {', '.join(last.needs)}" if last.needs else "waits"
    return "cools down" if step is not None and step.kind == "prepare" and step.id == COOL else ""


def answers(cars: Sequence[Car], now: float) -> tuple[AnswerPart, ...]:
    """Return the cars to choose from, by the name of the engine."""
    return tuple(AnswerPart(one.engine.name, one.engine.name, line(one, now)) for one in cars)
