"""What carries over: the healthy answers of earlier outings of an engine that still count."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import NamedTuple

from diagnose.graph.model import RUNNING
from diagnose.reason import events as ev
from diagnose.reason.state import effective
from diagnose.reason.walk import Walk


class Outing(NamedTuple):
    """A walk in the journal."""

    id: str
    walk: Walk
    last_at: float

    @property
    def open(self) -> bool:
        """Say whether it has no verdict yet."""
        return self.walk.verdict() is None


def carried(before: Iterable[Outing], today: Callable[[float], bool]) -> list[ev.Carried]:
    """Return the healthy answers of earlier outings of one engine, oldest first, that still count today.

    For a day, on that day. For a start or a tank, until the person says that the car was started or refuelled, or the
    walk ran it itself. For an outing, while the car stays out: that day, until a mend or a crash.
    """
    found: dict[str, ev.Carried] = {}
    for outing in before:
        state, scope = outing.walk.state, outing.walk.scope
        for gone in {one.check for one in outing.walk.started.carried} - state.answers.keys():
            found.pop(gone, None)  # that outing retired it
        ran = max((event.at for _, event in effective(outing.walk.events) if _runs(outing.walk, event)), default=0.0)
        for check, given in state.answers.items():
            started = scope.checks[check].good_for == "start" and given.at < ran
            if today(given.at) and not started and not scope.checks[check].guard and state.healthy(scope, check):
                found[check] = ev.Carried(check, given.answer, given.at, outing.id)
            else:
                found.pop(check, None)
    return list(found.values())


def unmended(outing: Outing) -> list[ev.Carried]:
    """Return what an outing found for sure and nobody has mended, each as the answer that showed it."""
    walk = outing.walk
    verdict, standing, state = walk.verdict(), walk.standing, walk.state
    if verdict is not None and verdict.outcome in ("cured", "nothing is wrong"):
        return []
    shown = {
        check
        for fault, checks in standing.accused.items()
        if fault not in state.on_trial and not standing.ruled_out(fault)
        for check in checks
    }
    shown |= state.grounds.keys() & state.answers.keys()
    found = ((check, state.answers[check]) for check in state.answers if check in shown)
    return [
        ev.Carried(check, given.answer, given.at, outing.id)
        for check, given in found
        if given.sure and not walk.scope.checks[check].remembered
    ]


def ends(event: ev.Event) -> bool:
    """Say whether a walk ends with this event."""
    cured = isinstance(event, ev.Retested) and event.outcome == "cured"
    return cured or isinstance(event, (ev.HandedOver, ev.FoundNormal, ev.Ended))


def _runs(walk: Walk, event: ev.Event) -> bool:
    """Say whether the engine ran for an event."""
    match event:
        case ev.Answered() | ev.Measured():
            return walk.scope.checks[event.check].runs
        case ev.Prepared():
            return walk.knowledge.preparations[event.preparation].state in RUNNING
        case ev.Retested():
            return walk.standing.symptom.retest.state in RUNNING
        case _:
            return False
