"""How many steps are likely still to come: the looks until it is as good as found, the mend, the re-test."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.reason.belief import OTHER
from diagnose.reason.explain import owed_plan

if TYPE_CHECKING:
    from diagnose.reason.view import Step
    from diagnose.reason.walk import Walk

FOUND = 0.5
"""Half of what could be shown has been shown by then: as likely as not, it takes fewer looks."""
AFTERWARDS = 2
"""Putting it right, and trying it again."""


def still_to_come(walk: Walk, step: Step) -> int | None:
    """Return how many steps are likely to follow this one; None where nobody can say, as before a door."""
    match step.kind:
        case "retest" | "refer":
            return 0
        case "mend" | "recheck" | "restore" | "adjust":
            return 1
        case "undo" | "prepare":
            return AFTERWARDS
        case _:
            return _looks(walk, step.id)


def _looks(walk: Walk, now: str) -> int | None:
    left = {one: share for one, share in walk.standing.held.items() if one != OTHER}
    total = sum(left.values())
    if not total:
        return None
    if walk.standing.accused:
        return AFTERWARDS
    planned = [look for look in owed_plan(walk) if look.id != now]
    found, scope = 0.0, walk.scope
    for number, name in enumerate((now, *(look.id for look in planned))):
        shown = scope.shown(name).named
        found += sum(share * shown.get(one, 0.0) for one, share in left.items())
        left = {one: share * (1 - shown.get(one, 0.0)) for one, share in left.items()}
        if found >= FOUND * total:
            return number + AFTERWARDS
    return len(planned) + AFTERWARDS
