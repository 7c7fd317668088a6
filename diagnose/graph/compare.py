"""What an overlay takes away: faults that the shipped knowledge looks for and the overlaid one does not."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.graph.model import Knowledge, LookKind, Sweep
from diagnose.graph.routes import Route, prepared

_SAID: dict[LookKind, str] = {"first": "has no first look any more", "strip": "has no strip-down any more"}


def fewer(shipped: Knowledge, overlaid: Knowledge) -> tuple[str, ...]:
    """Return a sentence for each fault of a symptom that is looked for no longer, on some engine or on all."""
    before, after = looked_for(shipped), looked_for(overlaid)
    told = []
    for (symptom, fault, look), engines in before.items():
        lost = [engine for engine in engines if engine not in after.get((symptom, fault, look), ())]
        if lost:
            where = "" if lost == engines else f" on {'; '.join(lost)}"
            told.append(f"{shipped.symptoms[symptom].name}: {shipped.faults[fault].name} {_SAID[look]}{where}")
    return tuple(told)


def looked_for(knowledge: Knowledge) -> dict[tuple[str, str, LookKind], list[str]]:
    """Return the engines, in words, on which a symptom's route has each kind of look for a fault."""
    found: dict[tuple[str, str, LookKind], list[str]] = {}
    for route in prepared(knowledge, {}, every_engine=True).routes:
        for fault, look in sorted(set(_looks(route))):
            found.setdefault((route.name, fault, look), []).append(route.engine.says())
    return found


def _looks(route: Route) -> Iterator[tuple[str, LookKind]]:
    for sweep in route.each(Sweep).values():
        yield from ((fault, sweep.look) for fault in route.obliges(sweep))
    for check in route.asked:
        shown = route.looks.shows[check] & route.explaining.keys()
        yield from ((fault, route.looks.checks[check].look) for fault in shown)
