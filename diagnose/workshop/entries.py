"""What was written down of a car, entry by entry: each can be taken back, or put right where it was mistyped."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from itertools import groupby

from msgspec.structs import replace

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Screw
from diagnose.graph.model.parts import SCREWS
from diagnose.graph.problem import did_you_mean
from diagnose.record.cards import take_back_card
from diagnose.record.notes import KeptNote, as_kept, put_note_right, take_back_note
from diagnose.tune import quantity
from diagnose.tune.needles import (
    Amended,
    Baseline,
    Corrected,
    Depth,
    Good,
    LedgerEntry,
    Settings,
    Struck,
    WentBack,
    caliper,
    closed,
    flush,
    kind,
)
from diagnose.tune.well import Card
from diagnose.workshop.car import KnownCar
from diagnose.workshop.workshop import Workshop, of_a_walk

CarEntry = LedgerEntry | KeptNote | Card
Rightable = KeptNote | Good | Baseline | Corrected | WentBack

NOT_TYPED = "this can't be put right: take it back, and write it down again"
HEAD, PLUG = "head ", "plug "
SUNK = " sunk"


def entries(car: KnownCar) -> list[CarEntry]:
    """Return what was written down of a car, and what its walks did to the screws, the newest first."""
    cards = [car.card] if car.card else []
    found: list[CarEntry] = [*one_baseline(car.ledger.entries), *car.notes, *cards]
    return sorted(found, key=lambda one: one.at, reverse=True)


def one_baseline(found: Iterable[LedgerEntry]) -> Iterator[LedgerEntry]:
    """Yield the entries; of baselines in a row, as they come about screw by screw, only the one that holds the most."""
    for both, group in groupby(found, lambda entry: isinstance(entry, Baseline)):
        together = list(group)
        yield from [max(together, key=lambda one: one.at)] if both else together


def take_back(workshop: Workshop, engine: str, entry: CarEntry) -> None:
    """Take an entry back; raises `DiagnoseError` for what was done in a walk, and is taken back there."""
    at = workshop.clock()
    match entry:
        case KeptNote():
            take_back_note(workshop.journal, engine, entry, at)
        case Card():
            take_back_card(workshop.journal, engine, at)
        case _ if of_a_walk(entry):
            raise DiagnoseError(_in_its_walk(entry))
        case _:
            workshop.write(engine, Struck(at, entry.at, kind(entry)))


def put_right(workshop: Workshop, engine: str, entry: CarEntry, typed: str) -> None:
    """Let an entry say what was typed, at its own place and time; raises `DiagnoseError` for what can't be."""
    at, right = workshop.clock(), righted(entry, typed)
    if isinstance(right, KeptNote):
        put_note_right(workshop.journal, engine, right, right.text, at)
    else:
        workshop.write(engine, Amended(at, entry.at, kind(right), right))


def righted(entry: CarEntry, typed: str) -> Rightable:
    """Return an entry as it was typed; raises `DiagnoseError` for what it can't be."""
    if isinstance(entry, KeptNote):
        return replace(entry, text=as_kept(typed))
    if isinstance(entry, Good):
        return _good(entry, typed)
    if isinstance(entry, Baseline | Corrected | WentBack) and not of_a_walk(entry):
        return replace(entry, settings=_settings(entry.settings, typed))
    raise DiagnoseError(not_typed(entry))


def not_typed(entry: CarEntry) -> str:
    """Say why an entry can't be put right."""
    return _in_its_walk(entry) if not isinstance(entry, KeptNote | Card) and of_a_walk(entry) else NOT_TYPED


def _in_its_walk(entry: CarEntry) -> str:
    return f"that was done in the walk of {getattr(entry, 'outing', '')}: open that walk, and take it back there"


def as_typed(entry: CarEntry) -> str:
    """Return an entry as it is typed when it is put right; "" for what is only taken back."""
    match entry:
        case KeptNote():
            return entry.text
        case Good():
            head = entry.conditions.head
            return f"{HEAD}{'' if head is None else f'{head:g} C'}, {PLUG}{entry.plug}"
        case Baseline() | Corrected() | WentBack() if not of_a_walk(entry):
            return ", ".join(f"{screw} {_as_typed(depth)}" for screw, depth in entry.settings.items())
        case _:
            return ""


def _as_typed(depth: Depth) -> str:
    value = f"{abs(depth.mm):g} mm" if depth.kind == "caliper" else f"{abs(depth.hours):g} hours"
    return value + (SUNK if depth.hours < 0 else "")


def _settings(before: Settings, typed: str) -> Settings:
    """Return the settings that were typed, each counted from where it was before; one that is left out is gone."""
    found: Settings = {}
    for part in _parts(typed):
        screw = _screw(part)
        found[screw] = _depth(before.get(screw), part.removeprefix(screw).strip())
    if not found:
        raise DiagnoseError("no setting was typed: name a screw and its hours, like high needle 38 hours")
    return found


def _depth(before: Depth | None, typed: str) -> Depth:
    sunk, value = typed.endswith(SUNK), typed.removesuffix(SUNK)
    if before is None or before.kind == "closed":
        return closed(quantity.read(typed, "hours"))
    if before.kind == "flush":
        return flush(quantity.read(value, "hours"), sunk)
    return caliper(quantity.read(value, "mm"), before.pitch, sunk)


def _screw(part: str) -> Screw:
    for screw in SCREWS:
        if part.startswith(screw):
            return screw
    raise DiagnoseError(f"there is no screw '{part[:30]}'{did_you_mean(part, SCREWS) or ': ' + ', '.join(SCREWS)}")


def _good(before: Good, typed: str) -> Good:
    """Return a good mark with the head and the plug that were typed; what is left out is not known."""
    head, plug = None, ""
    for part in _parts(typed):
        if part.startswith(HEAD.strip()):
            value = part.removeprefix(HEAD.strip()).strip()
            head = quantity.read(value, "degrees") if value else None
        elif part.startswith(PLUG.strip()):
            plug = part.removeprefix(PLUG.strip()).strip()
        else:
            raise DiagnoseError(f"'{part[:30]}' is neither the head nor the plug: say it like head 98 C, plug medium")
    return replace(before, conditions=replace(before.conditions, head=head), plug=plug)


def _parts(typed: str) -> list[str]:
    """Return what stands between commas; one between digits belongs to a number."""
    return [part.strip() for part in re.split(r",(?!\d)", typed) if part.strip()]
