"""All that is known of a car as values that leave the program: their schema is `docs/schema/export/`.

``python -m diagnose.workshop.export docs/schema/export`` writes it. Within one `FORMAT` fields are added, never taken
away, and none changes what it means.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated, Any, Literal, get_args

import msgspec
from msgspec import Meta, Struct

from diagnose.graph.model import Screw, Variant
from diagnose.record.notes import KeptNote
from diagnose.tune.mixture import Conditions
from diagnose.tune.needles import (
    Baseline,
    Corrected,
    Depth,
    Good,
    LedgerEntry,
    Settings,
    Tune,
    Turned,
    WentBack,
    kind,
)
from diagnose.tune.well import Card
from diagnose.workshop.came_to import CarOuting
from diagnose.workshop.car import KnownCar
from diagnose.workshop.entries import one_baseline

FORMAT: Literal[1] = 1

Seconds = Annotated[float, Meta(description="seconds since the epoch")]
Known = Literal["car", "now", "well", "outing", "mended", "found", "owed", "note"]
RowKind = Known | Literal["baseline", "turned", "good", "wentback", "corrected"]


class OwedLook(Struct, frozen=True):
    """A check that is owed before a needle."""

    check: str
    name: str
    minutes: float


class CarExport(Struct, frozen=True):
    """One car. Times in seconds since the epoch, depths in hours outwards (twelve are one turn), °C, Pa, shares."""

    format: Literal[1]
    name: str
    engine: Variant
    text: Annotated[str, Meta(description="what was noted when the car was added")]
    now: Annotated[Settings, Meta(description="where each screw stands, as far as it was ever counted")]
    tunes: Annotated[tuple[Tune, ...], Meta(description="what there is to go back to, newest first, baseline last")]
    ledger: tuple[LedgerEntry, ...]
    well: Card | None
    outings: tuple[CarOuting, ...]
    owed: tuple[OwedLook, ...]
    notes: tuple[KeptNote, ...]


class CarRow(Struct, frozen=True):
    """One row of the CSV. A cell that does not apply is empty."""

    kind: RowKind
    at: Annotated[str, Meta(description="when, in UTC, as ISO 8601 has it; empty for what holds now")] = ""
    id: Annotated[str, Meta(description="the id of an outing, of a check or of a fault; the number of a note")] = ""
    outing: Annotated[str, Meta(description="the id of the outing that it belongs to")] = ""
    ended: Annotated[str, Meta(description="of an outing: when it was last written to, in UTC")] = ""
    minutes: Annotated[float | None, Meta(description="how long it took, or takes")] = None
    symptom: str = ""
    outcome: str = ""
    screw: Screw | Literal[""] = ""
    hours: Annotated[float | None, Meta(description="outwards from its reference; of a turn: how far")] = None
    way: Annotated[str, Meta(description="of a turn: richer, leaner, in or out")] = ""
    counted_from: Annotated[str, Meta(description="closed, flush or caliper")] = ""
    pitch: Annotated[float | None, Meta(description="mm a turn, where a caliper measured")] = None
    air: Annotated[float | None, Meta(description="°C")] = None
    pressure: Annotated[float | None, Meta(description="Pa")] = None
    humidity: Annotated[float | None, Meta(description="a share of one")] = None
    nitro: Annotated[float | None, Meta(description="a share of one")] = None
    oil: Annotated[float | None, Meta(description="a share of one")] = None
    head: Annotated[float | None, Meta(description="°C")] = None
    gap: Annotated[float | None, Meta(description="at the idle stop, mm")] = None
    plug: str = ""
    text: Annotated[str, Meta(description="a note or a reason, in the person's own words")] = ""


def export(car: KnownCar) -> CarExport:
    """Return everything that is known of a car."""
    return CarExport(
        format=FORMAT,
        name=car.engine.name,
        engine=car.engine.variant,
        text=car.engine.notes,
        now=car.ledger.now,
        tunes=car.ledger.kept,
        ledger=tuple(one_baseline(car.ledger.entries)),
        well=car.card,
        outings=car.outings,
        owed=tuple(OwedLook(one.check, one.name, one.minutes) for one in car.owed),
        notes=car.notes,
    )


def rows(car: CarExport) -> Iterator[CarRow]:
    """Yield the same as rows, one kind after the other."""
    yield CarRow("car", id=car.name, text=car.text)
    yield from (CarRow("now", **_depth(screw, depth)) for screw, depth in car.now.items())
    for entry in car.ledger:
        yield from _entry(entry)
    if car.well is not None:
        yield CarRow("well", _utc(car.well.at), gap=car.well.idle_gap, **_conditions(car.well.conditions))
    for one in car.outings:
        told: dict[str, Any] = {"outing": one.id, "symptom": one.symptom}
        took, ended = round(one.minutes, 1), _utc(one.ended)
        outing: dict[str, Any] = {"id": one.id, "ended": ended, "minutes": took, "outcome": one.outcome}
        yield CarRow("outing", _utc(one.begun), text=one.because, **told, **outing)
        yield from (CarRow("mended", ended, fault, **told) for fault in one.mended)
        yield from (CarRow("found", ended, fault, **told) for fault in one.found)
    yield from (CarRow("owed", id=one.check, minutes=one.minutes, text=one.name) for one in car.owed)
    yield from (CarRow("note", _utc(one.at), str(one.number), one.outing, text=one.text) for one in car.notes)


def _entry(entry: LedgerEntry) -> Iterator[CarRow]:
    """Yield an entry of the ledger, a row for each screw that it speaks of."""
    told: dict[str, Any] = {"kind": kind(entry), "at": _utc(entry.at), "outing": getattr(entry, "outing", "")}
    match entry:
        case Turned():
            for screw, way, hours in entry.moves():
                yield CarRow(screw=screw, way=way, hours=hours, outcome=entry.result, text=entry.reason, **told)
        case Good():
            yield CarRow(plug=entry.plug, **_conditions(entry.conditions), **told)
        case Baseline() | WentBack() | Corrected():
            day = _conditions(entry.conditions) if isinstance(entry, Baseline) else {}
            for screw, depth in entry.settings.items():
                yield CarRow(text=entry.reason, **_depth(screw, depth), **day, **told)
        case _:
            pass


def _depth(screw: Screw, depth: Depth) -> dict[str, Any]:
    return {"screw": screw, "hours": depth.hours, "counted_from": depth.kind, "pitch": depth.pitch or None}


def _conditions(now: Conditions) -> dict[str, Any]:
    air, fuel = now.air, now.fuel
    told = {"air": air.temperature, "pressure": air.pressure, "humidity": air.humidity} if air else {}
    return {**told, **({"nitro": fuel.nitro, "oil": fuel.oil} if fuel else {}), "head": now.head}


def _utc(at: float) -> str:
    return datetime.fromtimestamp(at, UTC).isoformat(timespec="seconds")


KINDS: dict[str, type[Struct]] = {"car": CarExport, "car_rows": CarRow}
"""What leaves the program, by the name of its schema."""


def schema(name: str) -> str:
    """Return a schema as it is written to disk."""
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": name}
    made = msgspec.json.schema(KINDS[name])
    for definition in made["$defs"].values():
        for part in definition.get("properties", {}).values():
            for one in (part, *part.get("anyOf", ())):
                if one.get("additionalProperties") == {"$ref": "#/$defs/Depth"}:
                    one["propertyNames"] = {"enum": list(get_args(Screw))}
    return json.dumps({**head, **made}, indent=2, ensure_ascii=False) + "\n"


def write(folder: Path) -> None:
    """Write the schemas into `folder`."""
    folder.mkdir(parents=True, exist_ok=True)
    for name in KINDS:
        (folder / f"{name}.json").write_text(schema(name), "utf-8")


if __name__ == "__main__":
    write(Path(sys.argv[1]))
