"""What it costs to run an engine far too lean: its plug, and then its piston.

Only what somebody here has turned ruins it: what an engine was brought with is a fault like any other. That a plug
burns through from four hours lean on, and a piston with it from eight, is assumed: an hour is danger enough (common
practice, no source), and nobody turns four by mistake.
"""

from __future__ import annotations

from diagnose.practice.engine import MadeWrong, SimEngine, with_trouble
from diagnose.practice.symptoms import LIVES

BURNS, MELTS = 4.0, 8.0
"""Hours leaner than right from which one run takes the plug, and the piston with it."""


def far_too_lean(engine: SimEngine, came: SimEngine) -> tuple[str, float] | None:
    """Return the needle that was turned far too lean since the engine came, and by how many hours it is."""
    now, then = engine.leaner_than_right(), came.leaner_than_right()
    screw = max(now, key=lambda one: now[one] if now[one] > then[one] else 0.0)
    return (screw, now[screw]) if now[screw] >= BURNS and now[screw] > then[screw] else None


def ran(engine: SimEngine, came: SimEngine) -> tuple[SimEngine, tuple[str, ...]]:
    """Return an engine after it ran, and what is told of what that ruined; `came` is how its owner brought it."""
    lean = far_too_lean(engine, came)
    if lean is None or engine.seen().stage < LIVES:
        return engine, ()
    screw, hours = lean
    known = engine.knowledge
    rows = {
        name: row.ruin
        for name, row in known.simulated_faults.items()
        if row.ruin is not None and name in known.faults and known.faults[name].only.fits(engine.variant)
    }
    lost = {trouble.fault for trouble in engine.troubles[len(came.troubles) :]}
    waiting = [name for name in sorted(rows, key=lambda name: rows[name]) if name not in lost] or list(rows)
    taken = waiting if hours >= MELTS else waiting[:1]
    for name in taken:
        engine = with_trouble(engine, MadeWrong(name, 0, 1.0))
    if not taken:
        return engine, ()
    names = ", and ".join(known.faults[name].name for name in taken)
    return engine, (
        f"It ran with the {screw} {hours:.1f} hours too lean. That has ruined something: {names}. "
        "Turn the needle richer first, then put that right.",
    )
