"""What the tune bench gives a walk to start with, in the words of the walk's events."""

from __future__ import annotations

from diagnose.reason import events as ev
from diagnose.tune.back import GoingBack, in_a_line
from diagnose.tune.drift import MOVES_THE_MIXTURE, Explained, evidence
from diagnose.tune.drift import in_a_line as told


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
