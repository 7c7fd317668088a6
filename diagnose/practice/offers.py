"""What a learner is offered: looks and mends by area, and turns of a screw. It gives nothing away."""

from __future__ import annotations

from diagnose.graph.model import Screw, fault_of
from diagnose.practice.happenings import TurnedScrew
from diagnose.practice.tells import way
from diagnose.reason.scope import Scope

GUARDS = "the guards"
ANYTHING_ELSE = "anything else"


def looks(scope: Scope) -> dict[str, list[str]]:
    """Return the checks by the area that each can show most of, the guards first, each by its name."""
    found: dict[str, list[str]] = {GUARDS: list(scope.guards)}
    for name in scope.checks:
        if name not in scope.guards:
            found.setdefault(_area(scope, name), []).append(name)
    return {
        area: sorted(found[area], key=lambda one: (scope.checks[one].minutes, scope.checks[one].name))
        for area in sorted(found, key=lambda area: (area != GUARDS, area == ANYTHING_ELSE, area))
    }


def _area(scope: Scope, check: str) -> str:
    """Return the area of the faults that a check shows, by how plainly it shows them all together."""
    weights: dict[str, float] = {}
    for fault, chance in sorted(scope.shown(check).named.items()):
        area = scope.faults[fault_of(fault)].area
        weights[area] = weights.get(area, 0.0) + chance
    return max(weights, key=lambda area: (weights[area], area), default=ANYTHING_ELSE)


def mends(scope: Scope) -> dict[str, list[str]]:
    """Return the faults that can be mended, by area and name. A screw that is only turned is none of them."""
    found: dict[str, list[str]] = {}
    for name, fault in sorted(scope.faults.items(), key=lambda pair: pair[1].name):
        if not fault.turned:
            found.setdefault(fault.area, []).append(name)
    return dict(sorted(found.items()))


def turns(screw: Screw) -> list[tuple[str, TurnedScrew]]:
    """Return the turns of a screw that are offered, each in words: an hour each way, and three hours."""
    steps = [
        (1.0, 0.0),
        (-1.0, 0.0),
        *([(1.0, 1.0), (-1.0, -1.0)] if screw == "low needle" else []),
        (3.0, 0),
        (-3.0, 0),
    ]
    return [(_turn(screw, hours, stop), TurnedScrew(screw, hours, stop)) for hours, stop in steps]


def _turn(screw: Screw, hours: float, stop: float) -> str:
    told = f"{'an hour' if abs(hours) == 1 else 'three hours'} {way(screw, hours)}"
    return f"{told}, and the idle stop an hour {way(_STOP, stop)} with it" if stop else told


_STOP: Screw = "idle stop"
