"""A car's tune over time: where its screws stood after each thing that was done, and each head that was read."""

from __future__ import annotations

from typing import Literal, NamedTuple

from diagnose.graph.model import Screw
from diagnose.graph.wording import both, capital
from diagnose.pages.dates import date_and_clock
from diagnose.pages.ledger import told
from diagnose.pages.parts import Gap, Line, Page, Paragraph, Part, Table
from diagnose.pages.stand import each, screws, short
from diagnose.tune.depth import CountedFrom
from diagnose.tune.needles import Baseline, Good, Settings, steps
from diagnose.workshop.car import KnownCar
from diagnose.workshop.entries import one_baseline

MomentMark = Literal["good tune", "baseline", ""]

HEADING = "the tune over time"
NOTHING = "No screw was counted and no head was read, so there is nothing to draw yet."
FROM: dict[CountedFrom, str] = {
    "closed": "hours out from gently closed",
    "flush": "hours out from flush with the body",
    "caliper": "hours out from flush with the body, by the caliper",
}


class Moment(NamedTuple):
    """One thing that was done or read; `head` in °C."""

    at: float
    what: str
    stands: Settings
    """Where the screws stood after it."""
    head: float | None = None
    mark: MomentMark = ""


class Stood(NamedTuple):
    """A value at a time, for a line: of a screw in hours outwards, of a head in °C."""

    at: float
    value: float
    mark: MomentMark = ""


class Strip(NamedTuple):
    """One line over time: what it is of, its unit in words, and its values, oldest first."""

    name: str
    unit: str
    values: tuple[Stood, ...]
    until: float
    """When it was known to stand so for the last time."""


def moments(car: KnownCar) -> list[Moment]:
    """Return all that was done to the screws and every head that was read, oldest first."""
    found = [Moment(0.0, "", {})]
    for entry, stands in steps(one_baseline(car.ledger.entries)):
        head = entry.conditions.head if isinstance(entry, Good) else None
        mark: MomentMark = "good tune" if isinstance(entry, Good) else "baseline" if isinstance(entry, Baseline) else ""
        what = mark if mark == "baseline" else told(entry)[0]  # where its screws stood is told beside it
        found.append(Moment(entry.at, what, stands, head, mark))
    for at, head in car.heads:
        before = max((one for one in found if one.at <= at), key=lambda one: one.at)
        found.append(Moment(at, "head read", before.stands, head))
    return sorted(found[1:], key=lambda one: one.at)


def strips(car: KnownCar) -> list[Strip]:
    """Return a line for each screw from each reference that it was counted from, and one for the heads."""
    seen = moments(car)
    found = []
    for screw in screws(car.engine.variant.needles):
        kinds = dict.fromkeys(depth.kind for one in seen if (depth := one.stands.get(screw)))
        found += [_strip(seen, screw, kind) for kind in kinds]
    heads = tuple(Stood(one.at, one.head, one.mark) for one in seen if one.head is not None)
    return [*found, *([Strip("Head", "°C (°F)", heads, heads[-1].at)] if heads else [])]


def in_words(car: KnownCar) -> Page:
    """Return the same as a table, a row for each moment."""
    listed: tuple[Screw, ...] = screws(car.engine.variant.needles)
    if not (seen := moments(car)):
        return (Paragraph(NOTHING),)
    rows = [("when", *listed, "head", "what")]
    for one in seen:
        depths = (short(one.stands[screw]) if screw in one.stands else "–" for screw in listed)
        rows.append((date_and_clock(one.at), *depths, "–" if one.head is None else both(one.head), one.what))
    return (Table(tuple(rows), head=True),)


def as_read(car: KnownCar) -> Page:
    """Return the same to read on a screen of any width: the newest first, with where all screws stood after it."""
    if not (seen := moments(car)):
        return (Paragraph(NOTHING),)
    told: list[Part] = []
    for one in reversed(seen):
        head = [] if one.head is None or one.mark else [f"head {both(one.head)}"]
        told += [Gap()] if told else []
        told += [
            Paragraph(f"{date_and_clock(one.at)}, {', '.join([one.what, *head])}", "strong"),
            *(Line(where) for where in each(one.stands)),
        ]
    return tuple(told)


def _strip(seen: list[Moment], screw: Screw, kind: CountedFrom) -> Strip:
    """Return where a screw stood from one reference: where that changed, or was marked."""
    found: list[Stood] = []
    here = [(one, depth) for one in seen if (depth := one.stands.get(screw)) and depth.kind == kind]
    for one, depth in here:
        if one.mark or not found or depth.hours != found[-1].value:
            found.append(Stood(one.at, depth.hours, one.mark))
    return Strip(capital(screw), FROM[kind], tuple(found), here[-1][0].at)
