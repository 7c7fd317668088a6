"""The ledger of an engine: what was written by hand, and what its walks did to the screws, in time order.

What was written by hand is a stream of its own. Turns, going back and cures are read from the outings, so that nothing
is stored twice; an outing that this knowledge can't walk any more counts too, for a screw stays where it was turned.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import msgspec

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Follow, Knowledge, Screw, Way
from diagnose.reason import events as ev
from diagnose.reason.state import effective
from diagnose.record.days import Days
from diagnose.record.engines import Engine, added
from diagnose.record.index import Index, Row
from diagnose.record.journal import Journal, JournalError
from diagnose.tune.mixture import Conditions
from diagnose.tune.needles import (
    MOST_DEPTH,
    STOP,
    WAYS,
    Baseline,
    Depth,
    Good,
    LedgerEntry,
    Settings,
    TriedResult,
    Turned,
    WentBack,
    closed,
    standing,
)

LEDGERS = "ledger/"

OTHER_WAY: dict[Way, Way] = {"richer": "leaner", "leaner": "richer", "in": "out", "out": "in"}

_decoder: msgspec.json.Decoder[list[LedgerEntry]] = msgspec.json.Decoder(list[LedgerEntry])


class Outdoors(NamedTuple):
    """What one outing did to the screws. The conditions of a cure are still to be filled in."""

    length: int
    """Of its stream, when it was read."""
    entries: tuple[LedgerEntry, ...]
    heads: tuple[tuple[float, float], ...]
    """When the head was read, in seconds since the epoch, and its °C."""


class Ledgers:
    """Reads what makes up the ledgers, and keeps what it has read: a stream only ever grows."""

    def __init__(self, knowledge: Knowledge) -> None:
        self.knowledge = knowledge
        self.index = Index()
        self._outings: dict[str, Outdoors] = {}
        self._by_hand: dict[str, list[LedgerEntry]] = {}

    def entries(self, journal: Journal, engine: Engine, days: Days) -> list[LedgerEntry]:
        """Return all entries of an engine that were not struck out, in time order, its recorded settings first.

        Raises `JournalError` for an entry that can't be read.
        """
        found: list[LedgerEntry] = []
        if engine.settings:
            settings: Settings = {s: closed(hours) for s, hours in engine.settings.items() if hours <= MOST_DEPTH}
            found.append(Baseline(added(journal, engine.name), settings, air_screw=engine.variant.air_screw))
        for outing in self.outdoors(journal, engine.name):
            for entry in outing.entries:
                if isinstance(entry, Good):
                    day = days.conditions(engine.name, entry.at, entry.conditions.head)
                    entry = msgspec.structs.replace(entry, conditions=day)
                found.append(entry)
        found += self.by_hand(journal, engine.name)
        found.sort(key=lambda entry: entry.at)
        return standing(found)

    def by_hand(self, journal: Journal, engine: str) -> list[LedgerEntry]:
        """Return what was written by hand, in its order; raises `JournalError` for an entry that can't be read."""
        known = self._by_hand.setdefault(engine, [])
        if bodies := journal.read(f"{LEDGERS}{engine}", len(known)):
            try:
                known += _decoder.decode(f"[{','.join(bodies)}]")
            except (msgspec.DecodeError, DiagnoseError) as error:
                raise JournalError(f"the ledger of '{engine}' holds an entry that can't be read: {error}") from error
        return known

    def write(self, journal: Journal, engine: str, entry: LedgerEntry) -> None:
        """Write an entry behind those that were read last; raises `Conflict` when another window was quicker."""
        known = self._by_hand[engine] if engine in self._by_hand else self.by_hand(journal, engine)
        journal.append(f"{LEDGERS}{engine}", len(known), [msgspec.json.encode(entry).decode()], entry.at)
        known.append(entry)

    def outdoors(self, journal: Journal, engine: str) -> list[Outdoors]:
        """Return what the outings of an engine did, the one written to last at the end."""
        return [self._read(row) for row in self.index.rows(journal) if row.engine == engine]

    def without(self, row: Row, days: Days) -> list[LedgerEntry]:
        """Return what an outing did to the screws as entries of nobody's: so they stay where they are without it."""
        found: list[LedgerEntry] = []
        for entry in self._read(row).entries:
            match entry:
                case Good():
                    day = days.conditions(row.engine, entry.at, entry.conditions.head)
                    found.append(msgspec.structs.replace(entry, conditions=day, outing=""))
                case Turned() | WentBack():
                    found.append(msgspec.structs.replace(entry, reason="", outing=""))
                case _:
                    found.append(entry)
        return found

    def _read(self, row: Row) -> Outdoors:
        known = self._outings.get(row.stream)
        if known is None or known.length != row.length:
            events = row.turned()
            entries = tuple(done(events, self.knowledge, row.id))
            known = self._outings[row.stream] = Outdoors(row.length, entries, tuple(heads(events, self.knowledge)))
        return known


def heads(events: Sequence[ev.Event], knowledge: Knowledge) -> Iterator[tuple[float, float]]:
    """Yield when the head was read on an outing, and its °C."""
    for _, event in effective(events):
        match event:
            case ev.HeadRead() if event.head is not None:
                yield event.at, event.head
            case ev.Prepared() if event.head is not None:
                yield event.at, event.head
            case ev.Measured() if (check := knowledge.checks.get(event.check)) and check.reading:
                if check.reading.unit == "°C":
                    yield event.at, event.value
            case _:
                pass


def done(events: Sequence[ev.Event], knowledge: Knowledge, outing: str) -> Iterator[LedgerEntry]:
    """Yield what the events of one outing did to the screws, as entries of the ledger.

    A cure is a good tune where the engine ran for it: one that was only turned over says nothing of its tune.
    """
    if not events or not isinstance(first := events[0], ev.Started):
        return
    symptom = knowledge.symptoms.get(first.symptom)
    reason = symptom.name if symptom else first.symptom
    stands = [event for _, event in effective(events)]
    turns: list[Turned] = []
    for number, event in enumerate(stands):
        back = ev.back_at(stands, number)
        match event:
            case ev.Adjusted():
                follow = {screw: Follow(_way(screw, hours), abs(hours)) for screw, hours in event.follow.items()}
                result = _result(stands[number + 1 :])
                turned = Turned(event.at, event.screw, event.way, event.hours, follow, reason, result, outing)
                if event.follows and turns:
                    way = Follow(turned.way, turned.hours)
                    turns[-1] = msgspec.structs.replace(turns[-1], follow={**turns[-1].follow, event.screw: way})
                else:
                    turns.append(turned)
                yield turned
            case ev.Undone() if turns:
                yield _undone(turns.pop(), event.at)
            case ev.Restored():
                turns = [turn for turn in turns if turn.screw not in event.screws]
                yield _went_back(back, event.at, reason, outing, event.screws)
            case ev.Mended() if (fault := knowledge.faults.get(event.fault)) and fault.screw and not fault.turned:
                if fault.mend.back:
                    turns = [turn for turn in turns if turn.screw != fault.screw]
                    yield _went_back(back, event.at, fault.name, outing, (fault.screw,))
                else:
                    yield WentBack(event.at, {}, fault.name, outing, (fault.screw,))
            case ev.Retested() if event.outcome == "cured" and _ran(event, first, knowledge):
                yield Good(event.at, Conditions(head=_head(stands, number, knowledge)), outing=outing)
            case _:
                pass


def _head(stands: Sequence[ev.Event], cure: int, knowledge: Knowledge) -> float | None:
    """Return the head of the tune that cured: read after it, else between the last turn and the cure, in °C."""
    turns = [n for n, event in enumerate(stands[:cure]) if isinstance(event, (ev.Adjusted, ev.Undone, ev.Restored))]
    end = next((n for n, event in enumerate(stands) if n > cure and isinstance(event, ev.DONE_TO_THE_ENGINE)), None)
    after = (event.head for event in stands[cure:end] if isinstance(event, ev.HeadRead) and event.head is not None)
    before = [head for _, head in heads(stands[turns[-1] if turns else 0 : cure], knowledge)]
    return next(after, before[-1] if before else None)


def _ran(event: ev.Retested, first: ev.Started, knowledge: Knowledge) -> bool:
    """Say whether the engine ran for a re-test; where the symptom is not known any more, it is taken to have run."""
    symptom = knowledge.symptoms.get(event.symptom or first.symptom)
    return symptom is None or symptom.retest.engine == "running"


def _way(screw: Screw, signed: float) -> Way:
    positive, negative = WAYS[screw == STOP]
    return positive if signed > 0 else negative


def _result(after: Sequence[ev.Event]) -> TriedResult:
    """Return how a turn came out: what the next re-test said, if the screws stayed where they were until then."""
    for event in after:
        if isinstance(event, ev.Retested):
            return event.outcome
        if isinstance(event, ev.DONE_TO_THE_ENGINE) and not (isinstance(event, ev.Adjusted) and event.follows):
            break
    return ""


def _undone(turn: Turned, at: float) -> Turned:
    follow = {screw: Follow(OTHER_WAY[one.way], one.hours) for screw, one in turn.follow.items()}
    return Turned(at, turn.screw, OTHER_WAY[turn.way], turn.hours, follow, "turned back", outing=turn.outing)


def _went_back(back: tuple[ev.Target, ...], at: float, reason: str, outing: str, screws: tuple[Screw, ...]) -> WentBack:
    """Return a going back to the targets of that day; what has none begins its count again as well."""
    targets: Settings = {one.screw: Depth(one.hours, one.kind, one.pitch) for one in back}
    settings = {screw: depth for screw, depth in targets.items() if screw in screws}
    return WentBack(at, settings, reason, outing, tuple(screw for screw in screws if screw not in settings))
