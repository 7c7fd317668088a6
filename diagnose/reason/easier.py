"""An easier look: one that can show some of the same, with no more tools, minutes or daring."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from diagnose.reason.walk import Walk


def easier(walk: Walk, name: str) -> str:
    """Return the check that comes in place of one that could not be made; "" when there is none.

    The engine stays off for it, nothing is taken off, and it can show some of what the other would have shown.
    """
    scope, state, held = walk.scope, walk.state, walk.standing.held
    hard = scope.checks[name]
    same = scope.clears(name)
    found: dict[str, float] = {}
    for other, _ in walk.askable():
        check = scope.checks[other]
        shared = scope.clears(other) & same
        if (
            other == name
            or other in state.answers
            or other in state.unanswered
            or not shared
            or check.look != "first"
            or check.engine != "off"
            or check.remembered
            or set(check.takes_off) - set(state.open)
            or set(check.tools) - set(hard.tools)
            or check.minutes > hard.minutes
        ):
            continue
        shown = scope.shown(other)
        found[other] = sum(held.get(one, 0.0) * shown.of(one) for one in shared)
    best = max(found, key=lambda one: (found[one], one), default="")
    return best if best and found[best] > 0 else ""
