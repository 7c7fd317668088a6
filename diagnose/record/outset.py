"""What the tune bench gives a walk to start with, in the words of the walk's events."""

from __future__ import annotations

from diagnose.graph.model import Knowledge, Variant
from diagnose.reason import events as ev
from diagnose.tune.air import Air
from diagnose.tune.back import GoingBack, in_a_line
from diagnose.tune.drift import MOVES_THE_MIXTURE, Explained, evidence
from diagnose.tune.drift import in_a_line as told

MILD = "cold-air"
"""The question whether the day is mild enough for a head with bare fins, and the fact that says from when on it is."""


def of_the_day(known: Knowledge, symptom: str, air: Air | None, at: float) -> tuple[ev.Carried, ...]:
    """Return what the day's note answers by itself: on a mild day a bare head is not cooled too much."""
    check, cold = known.checks.get(MILD), known.facts.get(MILD)
    if air is None or check is None or cold is None:
        return ()
    asked = not check.named().isdisjoint(known.explaining(symptom, Variant()))
    if not asked or air.temperature < known.number(MILD, Variant()):
        return ()
    return (ev.Carried(MILD, check.healthy, at, ev.DAY_NOTE),)


def targets(found: GoingBack | None, *, air_screw: bool = False) -> tuple[ev.Target, ...]:
    """Return where each screw goes when the walk goes back."""
    return tuple(
        ev.Target(one.screw, one.depth.hours, in_a_line(one, air_screw), one.depth.kind, one.depth.pitch)
        for one in (found.targets if found else ())
    )


def drifted(found: Explained | None) -> ev.Drift | None:
    """Return what the drift says, None when there is nothing to compare with or a cause is unknown."""
    answer = evidence(found.unexplained, found.owed) if found else None
    if found is None or answer is None:
        return None
    return ev.Drift(
        answer.answer,
        told(found),
        answer.mechanical,
        answer.needle,
        answer.otherwise,
        answer.setting,
        tuple(sorted(MOVES_THE_MIXTURE)),
    )
