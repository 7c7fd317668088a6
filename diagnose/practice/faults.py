"""What a fault does to the parts and screws, and what its mend makes sound: by its row in `knowledge/simulated`."""

from __future__ import annotations

from collections.abc import Collection

from msgspec.structs import replace

from diagnose.graph.model import SimulatedFault
from diagnose.graph.model.parts import SCREWS
from diagnose.practice.measurable import renewed
from diagnose.practice.parts import GAP, MID, SOUND, Parts, Screws, Weather, attribute
from diagnose.tune.back import richer_hours
from diagnose.tune.depth import Depth
from diagnose.tune.mixture import Conditions

FIELD = {"high needle": "high", "mid needle": "mid", "low needle": "low", "idle stop": "gap"}
"""What the place of each screw is called on the simulated engine."""


def acts_on_nothing(fault: str) -> str:
    """Return what there is to say of a fault that has no row."""
    return (
        f"'{fault}' acts on no part of the simulated engine: say in it what it acts like (acts like: "
        "air-filter-dirty), or give it a row in simulated/faults.yaml"
    )


def broken(parts: Parts, screws: Screws, row: SimulatedFault, mode: int, severity: float) -> tuple[Parts, Screws]:
    """Return the parts and the screws with a fault in them; `severity` is 0 at the mildest and 1 at the worst."""
    values: dict[str, float] = {}
    for part, (mildest, worst) in row.modes[mode].items():
        value = mildest + severity * (worst - mildest)
        if part in SCREWS:
            screws = screws.turned(part, value)
        else:
            values[attribute(part)] = value
    return replace(parts, **values), screws


def laid_on(parts: Parts, row: SimulatedFault, mode: int, severity: float) -> Parts:
    """Return the parts with what acts like a fault of theirs; of two that act on one part the worse counts."""
    with_it, _ = broken(parts, Screws(), row, mode, severity)
    worse = {}
    for part in map(attribute, row.modes[mode]):
        was, now, sound = getattr(parts, part), getattr(with_it, part), getattr(SOUND, part)
        worse[part] = max(was, now, key=lambda value: abs(value - sound))
    return replace(parts, **worse)


def mended(parts: Parts, row: SimulatedFault) -> Parts:
    """Return the parts after a fault's mend: what it renews is sound, whether or not it was the fault."""
    own = [part for mode in row.modes for part in mode if part not in SCREWS]
    return renewed(parts, (*own, *row.renews))


def displaced(row: SimulatedFault) -> frozenset[str]:
    """Return the screws that a fault puts off."""
    return frozenset(part for mode in row.modes for part in mode if part in SCREWS)


def set_again(screws: Screws, row: SimulatedFault, back: Screws) -> Screws:
    """Return the screws after the mend of a screw's fault at the bench: the gap, the mid needle's mark, `back` home."""
    if displaced(row) == {"idle stop"}:
        return replace(screws, gap=GAP)
    if displaced(row) == {"mid needle"}:
        return replace(screws, mid=MID)
    return back


def only(home: Screws, now: Screws, screws: Collection[str]) -> Screws:
    """Return the screws after some of them went home, and the others stayed where they stand now."""
    stay = [FIELD[screw] for screw in SCREWS if screw not in screws]
    return replace(home, **{field: getattr(now, field) for field in stay})


def gone_back(record: Screws, then: Weather | None, now: Weather) -> Screws:
    """Return the screws after going back: two needles on the rich side of the record, the rest on it.

    They go as far as the day asks by the larger estimate, or the hour for a day that nobody noted.
    """
    before, here = _conditions(then), _conditions(now)
    high = richer_hours("high needle", Depth(record.high), before, here)
    low = richer_hours("low needle", Depth(record.low), before, here)
    return replace(record, high=record.high + high, low=record.low + low)


def _conditions(day: Weather | None) -> Conditions:
    return Conditions(day.air, day.fuel) if day is not None else Conditions()
