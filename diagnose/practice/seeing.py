"""What a person sees of a simulated engine: a check's answer, from the physical state, with honest noise.

Of a check only the ids of its answers are used, and which is the healthy one. Its probabilities are never read: what
is there is worked out from the parts, and then shown or missed as often as the look's trust grade says (`looks.TRUST`).
Each look errs by itself: that the same look errs twice in the same way is not modelled.
"""

from __future__ import annotations

from random import Random

from diagnose.graph.model import Check
from diagnose.practice import looks_car, looks_engine, looks_fuel
from diagnose.practice.faults import FUEL, PLUG
from diagnose.practice.looks import TRUST, Gauge, Grade, Look, Seen

LOOKS: dict[str, Look] = {**looks_fuel.LOOKS, **looks_engine.LOOKS, **looks_car.LOOKS}
GAUGES: dict[str, Gauge] = {**looks_fuel.GAUGES, **looks_engine.GAUGES}

SWAPS: dict[str, tuple[str, ...]] = {"new-plug": PLUG, "fresh-fuel": FUEL, "spare-air-filter": looks_fuel.FILTER}
"""Checks that are made by fitting a fresh part: it stays in, whatever was seen."""

NEEDS_RECORD = frozenset({"needle-count", "paint-marks"})
"""Checks that hold the screws against their record, and can't be made without one."""


def missing(checks: dict[str, Check]) -> list[str]:
    """Return a sentence for each check that the simulated engine has nothing to show for."""
    return [
        f"nothing is seen at '{name}': give it a row in LOOKS" for name in checks if name not in LOOKS.keys() | GAUGES
    ]


def truth(name: str, check: Check, seen: Seen) -> tuple[str, Grade] | None:
    """Return the answer that an eye which never errs would give, with its grade; None when nobody can look now."""
    look = LOOKS.get(name)
    if look is None or seen.stage < look.needs or (name in NEEDS_RECORD and seen.record is None):
        return None
    for found in look.finds(seen):
        if found[0] and found[1] in check.answers:
            return found[1], found[2] if len(found) == 3 else look.grade
    return check.healthy, look.grade


def see(name: str, check: Check, seen: Seen, rng: Random) -> str | float | None:
    """Return what a person sees: an answer's id, the number that a gauge shows, or None for "can't tell"."""
    if name in GAUGES:
        return _read(GAUGES[name], seen, rng)
    found = truth(name, check, seen)
    if found is None:
        return None
    answer, grade = found
    if answer != check.healthy:
        return answer if rng.random() < TRUST[grade][0] else check.healthy
    if rng.random() < TRUST[LOOKS[name].grade][1]:
        return rng.choice([one for one in check.answers if one != check.healthy])
    return answer


def _read(gauge: Gauge, seen: Seen, rng: Random) -> float | None:
    """Return a reading: the gauge spreads a little, and now and then the person reads it quite wrong."""
    if seen.stage < gauge.needs:
        return None
    shown, mistaken = TRUST[gauge.grade]
    value = gauge.reads(seen)
    off = abs(value - gauge.sound) > 0.2 * gauge.sound
    if off and rng.random() >= shown:
        value = gauge.sound
    elif not off and rng.random() < mistaken:
        value *= rng.choice((0.5, 1.7))
    return round(max(value + rng.gauss(0, gauge.spread), 0.0), 2)
