"""How many steps are likely still to come: the looks until it is as good as found, the mend, the re-test."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.graph.model import CLOSE, RUNNING
from diagnose.reason.belief import OTHER
from diagnose.reason.explain import owed_plan

if TYPE_CHECKING:
    from diagnose.reason.view import Step
    from diagnose.reason.walk import Walk

FOUND = 0.5
"""Half of what could be shown has been shown by then: as likely as not, it takes fewer looks."""


def still_to_come(walk: Walk, step: Step) -> int | None:
    """Return how many steps are likely to follow this one; None where nobody can say, as before a door."""
    match step.kind:
        case "retest" | "refer":
            return 0
        case "mend":
            return 1 + _tried(walk, step)  # the check that showed it is made again
        case "recheck" | "restore" | "adjust" | "follow" | "prepare":
            return _tried(walk, step)
        case "undo":
            return 1 + _tried(walk, step)
        case _ if walk.state.retest:
            return _tried(walk, step)
        case _:
            looks = _looks(walk, step.id)
            return None if looks is None else looks + 2 + _tried(walk, step)


def _tried(walk: Walk, step: Step) -> int:
    """Return the steps until it has been tried again: the guards, closing up, and the re-test itself."""
    retest, state = walk.standing.symptom.retest, walk.state
    owed = {guard for guard in walk.scope.guards if not state.healthy(walk.scope, guard)} - {step.id}
    guards = len(owed) if retest.state in RUNNING else 0
    work = walk.standing.work(step.kind, step.id)
    opens = bool(state.open or (work is not None and work.takes_off))
    return guards + (opens and step.id != CLOSE) + 1


def _looks(walk: Walk, now: str) -> int | None:
    """Return how many looks are likely to follow this one before what is wrong is as good as found."""
    left = {one: share for one, share in walk.standing.held.items() if one != OTHER}
    total = sum(left.values())
    if not total:
        return None
    if walk.standing.accused:
        return 0
    planned = [look for look in owed_plan(walk) if look.id != now]
    found, scope = 0.0, walk.scope
    for number, name in enumerate((now, *(look.id for look in planned))):
        shown = scope.shown(name).named
        found += sum(share * shown.get(one, 0.0) for one, share in left.items())
        left = {one: share * (1 - shown.get(one, 0.0)) for one, share in left.items()}
        if found >= FOUND * total:
            return number
    return len(planned)
