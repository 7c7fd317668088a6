"""The four screws of an engine in hours, and the ledger of everything that was done to them.

Twelve hours are one turn. Outwards is richer for a needle, except for a low screw that lets in air: that one is richer
inwards. The idle stop lets the barrel shut as it goes out. Nothing here knows a clock: `at` is in seconds since the
epoch, brought by the caller.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from typing import Literal, NamedTuple

from msgspec import Struct

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Follow, Screw, Way
from diagnose.tune.depth import MOST_DEPTH as MOST_DEPTH
from diagnose.tune.depth import Depth as Depth
from diagnose.tune.depth import Settings as Settings
from diagnose.tune.depth import caliper as caliper
from diagnose.tune.depth import closed as closed
from diagnose.tune.depth import flush as flush
from diagnose.tune.mixture import Conditions

TriedResult = Literal["", "cured", "better", "same", "worse"]

LARGEST_STEP = 1.0
"""An adjustment turns a screw by no more."""

LOW, STOP = "low needle", "idle stop"
WAYS: dict[bool, tuple[Way, Way]] = {True: ("in", "out"), False: ("richer", "leaner")}
"""The ways of the idle stop (True) and of a needle; the first of each counts as positive in `Ledger.moved`."""
SIGN: dict[Way, int] = {"in": 1, "out": -1, "richer": 1, "leaner": -1}


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
    result: TriedResult = ""
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
    if not 0 < hours <= LARGEST_STEP:
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


class Struck(Written, frozen=True):
    """An entry that was a mistake: it counts no more. `of` is when it was written, `what` its kind."""

    of: float
    what: str


class Amended(Written, frozen=True):
    """An entry that was mistyped: `now` stands in its place, at its time. `of` and `what` as in `Struck`."""

    of: float
    what: str
    now: Baseline | Good | WentBack | Corrected


LedgerEntry = Baseline | Turned | Good | WentBack | Corrected | Struck | Amended


def kind(entry: LedgerEntry) -> str:
    """Return the kind of an entry, as it is stored."""
    return type(entry).__name__.lower()


def standing(entries: Sequence[LedgerEntry]) -> list[LedgerEntry]:
    """Return the entries that were not struck out, each as it was last put right; without those that do so."""
    struck = {(entry.of, entry.what) for entry in entries if isinstance(entry, Struck)}
    right = {(entry.of, entry.what): entry.now for entry in entries if isinstance(entry, Amended)}
    return [
        right.get((one.at, kind(one)), one)
        for one in entries
        if not isinstance(one, Struck | Amended) and (one.at, kind(one)) not in struck
    ]


class Tune(Struct, frozen=True):
    """Settings that were recorded, with their day and fuel."""

    at: float
    settings: Settings
    conditions: Conditions = Conditions()
    plug: str = ""


class LedgerStep(NamedTuple):
    """One entry of the ledger, and where the screws stood after it."""

    entry: LedgerEntry
    stands: Settings


class Ledger(Struct, frozen=True):
    """What the entries come to."""

    now: Settings = {}
    """Where each screw stands, as far as it was ever counted."""
    baseline: Tune | None = None
    last_good: Tune | None = None
    good: tuple[Tune, ...] = ()
    """Every tune that was marked good, the oldest first; the last of them is `last_good`."""
    moved: dict[Screw, float] = {}
    """Hours from the last good tune, or from going back: richer (or in) positive, as in a walk's `Started.turned`."""
    uncounted: frozenset[Screw] = frozenset()
    """Screws that were turned past their end: the record was wrong, and they must be counted again."""
    air_screw: bool = False
    entries: tuple[LedgerEntry, ...] = ()

    @property
    def record(self) -> Tune | None:
        """What there is to go back to: the last good tune, else the baseline. A tune that nobody counted is neither."""
        return next((tune for tune in (self.last_good, self.baseline) if tune and tune.settings), None)

    @property
    def kept(self) -> tuple[Tune, ...]:
        """Return the counted tunes that there are to go back to, the newest first and the baseline last."""
        return tuple(tune for tune in (*reversed(self.good), self.baseline) if tune and tune.settings)

    def since_good(self) -> tuple[LedgerEntry, ...]:
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


def fold(entries: Iterable[LedgerEntry], start: Ledger | None = None) -> Ledger:
    """Return what the entries come to, after those that `start` is made of."""
    folding = _Folding(start or Ledger())
    for entry in entries:
        folding.add(entry)
    return folding.ledger()


def as_it_stood(ledger: Ledger, at: float) -> Ledger:
    """Return a ledger as it was at a time, in seconds since the epoch; what was put right since is right in it."""
    return fold(entry for entry in ledger.entries if entry.at <= at)


def steps(entries: Iterable[LedgerEntry]) -> Iterator[LedgerStep]:
    """Yield each entry with where the screws stood after it, oldest first."""
    folding = _Folding(Ledger())
    for entry in entries:
        folding.add(entry)
        yield LedgerStep(entry, dict(folding.now))


class _Folding:
    """A ledger while entries are added to it."""

    def __init__(self, start: Ledger) -> None:
        self.now, self.moved, self.uncounted = dict(start.now), dict(start.moved), set(start.uncounted)
        self.baseline, self.good, self.air_screw = start.baseline, list(start.good), start.air_screw
        self.entries = list(start.entries)

    def add(self, entry: LedgerEntry) -> None:
        self.entries.append(entry)
        match entry:
            case Turned():
                self._turn(entry.screw, SIGN[entry.way] * entry.hours)
                for screw, follow in entry.follow.items():
                    self._turn(screw, SIGN[follow.way] * follow.hours)
            case Good():
                self.good.append(Tune(entry.at, dict(self.now), entry.conditions, entry.plug))
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
        if (before := self.now.get(screw)) is None:
            return
        if after := before.moved(outwards(screw, richer, self.air_screw)):
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
        return Ledger(
            now=self.now,
            baseline=self.baseline,
            last_good=self.good[-1] if self.good else None,
            good=tuple(self.good),
            moved=moved,
            uncounted=uncounted,
            air_screw=self.air_screw,
            entries=tuple(self.entries),
        )
