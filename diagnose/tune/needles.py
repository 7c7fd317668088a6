"""The four screws of an engine in hours, and the ledger of everything that was done to them.

Twelve hours are one turn. Outwards is richer for a needle, except for a low screw that lets in air: that one is richer
inwards. The idle stop lets the barrel shut as it goes out. Nothing here knows a clock: `at` is in seconds since the
epoch, brought by the caller.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache
from math import isfinite
from typing import Literal, NamedTuple

from msgspec import Struct

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Follow, Screw, Way
from diagnose.tune.mixture import PER_TURN, Conditions

Kind = Literal["closed", "flush", "caliper"]
Result = Literal["", "cured", "better", "same", "worse"]

MOST_DEPTH = 72.0
"""Hours: at six turns out a needle is at the end of its thread. A judgement."""

MOST_HOURS = 1.0
"""An adjustment turns a screw by no more."""

PITCHES = (0.2, 1.5)
"""mm a turn, least and most: M2.5 has 0.45, M3 0.5, M3.5 0.6, M4 0.7."""

LOW, STOP = "low needle", "idle stop"
WAYS: dict[bool, tuple[Way, Way]] = {True: ("in", "out"), False: ("richer", "leaner")}
"""The ways of the idle stop (True) and of a needle; the first of each counts as positive in `Ledger.moved`."""


class Depth(Struct, frozen=True, omit_defaults=True):
    """Where a screw stands: hours outwards from a reference, which stays what it was recorded from.

    `closed`: from gently closed. `flush`: of the head from the body, sunk is negative. `caliper`: the same, measured
    in mm on a thread of `pitch` mm a turn. Raises `DiagnoseError` for what no screw can stand at.
    """

    hours: float
    kind: Kind = "closed"
    pitch: float = 0.0

    def __post_init__(self) -> None:
        if not _fits(self.kind, self.hours):
            most = f"{MOST_DEPTH:g} hours ({MOST_DEPTH / PER_TURN:g} turns)"
            raise DiagnoseError(f"a screw stands 0 to {most} out from gently closed; {self.hours:g} can't be")
        if self.kind == "caliper" and not PITCHES[0] <= self.pitch <= PITCHES[1]:
            thin, thick = PITCHES
            raise DiagnoseError(f"a thread has {thin:g} to {thick:g} mm a turn (M3: 0.5); {self.pitch:g} can't be")

    @property
    def mm(self) -> float:
        """The same in mm, for a depth measured with a caliper."""
        return self.hours / PER_TURN * self.pitch

    def moved(self, outwards: float) -> Depth | None:
        """Return the depth after so many hours outwards (inwards is negative); None where no screw can stand."""
        return _depth(round(self.hours + outwards, 6), self.kind, self.pitch)

    def since(self, before: Depth) -> float | None:
        """Return the hours outwards from `before` to here; None when the two have no reference in common."""
        same = (self.kind == "closed") == (before.kind == "closed")
        return round(self.hours - before.hours, 6) if same else None


def _fits(kind: Kind, hours: float) -> bool:
    return (0.0 if kind == "closed" else -MOST_DEPTH) <= hours <= MOST_DEPTH


@lru_cache
def _depth(hours: float, kind: Kind, pitch: float) -> Depth | None:
    """Return a depth, None where no screw can stand; kept, since a long ledger comes by the same few again."""
    return Depth(hours, kind, pitch) if _fits(kind, hours) else None


def closed(hours: float) -> Depth:
    """Return a depth counted in hours out from gently closed."""
    return Depth(hours)


def flush(hours: float, sunk: bool = False) -> Depth:
    """Return a depth in hours from where the screw's head is flush with the body."""
    return Depth(-_length(hours) if sunk else _length(hours), "flush")


def caliper(mm: float, pitch: float, sunk: bool = False) -> Depth:
    """Return a depth measured in mm from the body's face to the screw's head; hours = mm / pitch · 12."""
    if not (isfinite(pitch) and pitch > 0):
        raise DiagnoseError("a depth in mm needs the pitch of the thread, in mm a turn (M3: 0.5)")
    hours = round(_length(mm) / pitch * PER_TURN, 6)
    return Depth(-hours if sunk else hours, "caliper", pitch)


def _length(value: float) -> float:
    if not (isfinite(value) and value >= 0):
        raise DiagnoseError(f"a depth is a number, 0 or more; {value:g} can't be. A head below the body is 'sunk'")
    return value


Settings = dict[Screw, Depth]


class Written(Struct, frozen=True, tag_field="entry", tag=str.lower, omit_defaults=True):
    """The base of the ledger's entries."""

    at: float


class Baseline(Written, frozen=True):
    """The settings to begin from. `air_screw`: the low screw lets in air, and so turns the other way round."""

    settings: Settings
    conditions: Conditions = Conditions()
    air_screw: bool = False
    reason: str = ""


class Turned(Written, frozen=True):
    """An adjustment: one screw by an hour at most, with the stop that follows it. Raises `DiagnoseError` for more."""

    screw: Screw
    way: Way
    hours: float
    follow: dict[Screw, Follow] = {}
    reason: str = ""
    result: Result = ""
    outing: str = ""

    def __post_init__(self) -> None:
        for move in self.moves():
            _possible(*move)

    def moves(self) -> tuple[tuple[Screw, Way, float], ...]:
        """Return each screw that turns, its way, and its hours."""
        first = (self.screw, self.way, self.hours)
        return (first, *((s, f.way, f.hours) for s, f in self.follow.items())) if self.follow else (first,)


@lru_cache
def _possible(screw: Screw, way: Way, hours: float) -> None:
    """Raise `DiagnoseError` for what is no adjustment; what is one is asked for only once."""
    if way not in WAYS[screw == STOP]:
        raise DiagnoseError(f"the {screw} goes {' or '.join(WAYS[screw == STOP])}, not {way}")
    if not 0 < hours <= MOST_HOURS:
        what = f"an adjustment turns the {screw} by more than 0 and at most one hour, not by {hours:g}"
        raise DiagnoseError(f"{what}; to go back to the record is a step of its own")


class Good(Written, frozen=True):
    """The tune is good as it stands: with its day, its fuel and its plug."""

    conditions: Conditions = Conditions()
    plug: str = ""
    outing: str = ""


class WentBack(Written, frozen=True):
    """The screws were counted in and set again: to the record, with what was added to the rich side."""

    settings: Settings
    reason: str = ""
    outing: str = ""
    unrecorded: tuple[Screw, ...] = ()
    """Screws that were set by a mark or by a gap: they must be counted to know where they stand."""


class Corrected(Written, frozen=True):
    """The ledger was wrong: a screw was counted or measured, and stands there. Nothing was turned."""

    settings: Settings
    reason: str = ""


Entry = Baseline | Turned | Good | WentBack | Corrected


class Tune(Struct, frozen=True):
    """Settings that were recorded, with their day and fuel."""

    at: float
    settings: Settings
    conditions: Conditions = Conditions()
    plug: str = ""


class Step(NamedTuple):
    """One entry of the ledger, and where the screws stood after it."""

    entry: Entry
    stands: Settings


class Ledger(Struct, frozen=True):
    """What the entries come to."""

    now: Settings = {}
    """Where each screw stands, as far as it was ever counted."""
    baseline: Tune | None = None
    last_good: Tune | None = None
    moved: dict[Screw, float] = {}
    """Hours from the last good tune, or from going back: richer (or in) positive, as in a walk's `Started.turned`."""
    uncounted: frozenset[Screw] = frozenset()
    """Screws that were turned past their end: the record was wrong, and they must be counted again."""
    air_screw: bool = False
    entries: tuple[Entry, ...] = ()

    @property
    def record(self) -> Tune | None:
        """What there is to go back to: the last good tune, else the baseline. A tune that nobody counted is neither."""
        return next((tune for tune in (self.last_good, self.baseline) if tune and tune.settings), None)

    def since_good(self) -> tuple[Entry, ...]:
        """Return what was done after the last good tune; everything when there is none."""
        for number in range(len(self.entries), 0, -1):
            if isinstance(self.entries[number - 1], Good):
                return self.entries[number:]
        return self.entries

    def drift(self, screw: Screw = "high needle") -> float | None:
        """Return the hours outwards from the last good tune to now; None where it is not known."""
        then = self.last_good.settings.get(screw) if self.last_good else None
        stands = self.now.get(screw)
        if then is not None and stands is not None:
            return stands.since(then)
        if self.last_good is None or any(isinstance(entry, WentBack | Baseline) for entry in self.since_good()):
            return None
        return self.sought(screw)

    def sought(self, screw: Screw = "high needle") -> float:
        """Return the hours outwards that adjustments made since the last good tune or going back, seeking a tune."""
        return outwards(screw, self.moved.get(screw, 0.0), self.air_screw)


def outwards(screw: Screw, richer: float, air_screw: bool = False) -> float:
    """Return hours outwards from hours that are positive for richer (or, for the idle stop, for in)."""
    return -richer if screw == STOP or (screw == LOW and air_screw) else richer


def fold(entries: Iterable[Entry], start: Ledger | None = None) -> Ledger:
    """Return what the entries come to, after those that `start` is made of."""
    folding = _Folding(start or Ledger())
    for entry in entries:
        folding.add(entry)
    return folding.ledger()


def steps(entries: Iterable[Entry]) -> Iterator[Step]:
    """Yield each entry with where the screws stood after it, oldest first."""
    folding = _Folding(Ledger())
    for entry in entries:
        folding.add(entry)
        yield Step(entry, dict(folding.now))


class _Folding:
    """A ledger while entries are added to it."""

    def __init__(self, start: Ledger) -> None:
        self.now, self.moved, self.uncounted = dict(start.now), dict(start.moved), set(start.uncounted)
        self.baseline, self.good, self.air_screw = start.baseline, start.last_good, start.air_screw
        self.entries = list(start.entries)

    def add(self, entry: Entry) -> None:
        self.entries.append(entry)
        match entry:
            case Turned():
                for screw, way, hours in entry.moves():
                    self._turn(screw, hours if way in ("richer", "in") else -hours)
            case Good():
                self.good = Tune(entry.at, dict(self.now), entry.conditions, entry.plug)
                self.moved = {}
            case Baseline() | WentBack():
                if isinstance(entry, Baseline):
                    self.baseline = Tune(entry.at, entry.settings, entry.conditions)
                    self.air_screw = entry.air_screw
                self._count(entry.settings)
                for screw in entry.settings:
                    self.moved.pop(screw, None)
                if isinstance(entry, WentBack):
                    for screw in entry.unrecorded:
                        self.moved.pop(screw, None)
                        self.now.pop(screw, None)
            case Corrected():
                for screw, depth in entry.settings.items():
                    out = depth.since(self.now[screw]) if screw in self.now else None
                    self._note(screw, outwards(screw, out or 0.0, self.air_screw))
                self._count(entry.settings)

    def _turn(self, screw: Screw, richer: float) -> None:
        self._note(screw, richer)
        if screw not in self.now:
            return
        if after := self.now[screw].moved(outwards(screw, richer, self.air_screw)):
            self.now[screw] = after
        else:
            del self.now[screw]
            self.uncounted.add(screw)

    def _note(self, screw: Screw, richer: float) -> None:
        self.moved[screw] = round(self.moved.get(screw, 0.0) + richer, 6)

    def _count(self, settings: Settings) -> None:
        self.now |= settings
        self.uncounted -= settings.keys()

    def ledger(self) -> Ledger:
        moved = {screw: hours for screw, hours in self.moved.items() if hours}
        uncounted = frozenset(self.uncounted)
        return Ledger(self.now, self.baseline, self.good, moved, uncounted, self.air_screw, tuple(self.entries))
