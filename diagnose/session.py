"""One person at one journal: starts walks, records what happens before anything moves on, and finds them again.

Front ends (the screens, the plain walk, the commands) talk to this, so that none of them knows SQL or a clock.
"""

from __future__ import annotations

import time
from collections.abc import Iterable
from contextlib import suppress
from datetime import datetime
from typing import Literal

import msgspec

from diagnose.errors import DiagnoseError
from diagnose.folders import home
from diagnose.graph.model import Knowledge, Symptom, Variant
from diagnose.graph.problem import did_you_mean
from diagnose.reason import events as ev
from diagnose.reason.carry import Outing, carried, ends
from diagnose.reason.state import effective
from diagnose.reason.view import OwedLine, Step
from diagnose.reason.walk import Walk, begin, replay
from diagnose.record.days import same_day
from diagnose.record.engines import Engine
from diagnose.record.journal import Conflict, Journal, Stream
from diagnose.record.ledger import OUTINGS, Ledgers, whose
from diagnose.record.outset import drifted, targets
from diagnose.tune import well
from diagnose.workshop import Clock, Workshop

Due = Literal["cautions", "since", "history", "step", "end"]

LOOKED_AT = 40
"""How many of the newest walks are looked at for one that is still open."""

WHENS = ("starting", "at idle", "pulling away", "at speed", "any time")


class Session(Workshop):
    """A workshop, and the walk that is being made. `clock` returns seconds since the epoch."""

    def __init__(self, knowledge: Knowledge, journal: Journal, clock: Clock = time.time) -> None:
        super().__init__(knowledge, journal, clock)
        self.outing = ""
        self.walk: Walk | None = None
        self.told: set[str] = set()
        """Cautions that the person has read in full since the program was opened."""
        self.greeted = False
        """True once the first page of this walk was read."""
        self.since_asked = False

    def last_engine(self) -> Engine | None:
        """Return the engine of the newest walk, else the one added last, else None."""
        known = self.engines()
        begun = (whose(self.journal, stream.name) for stream in reversed(self.journal.streams(OUTINGS)))
        walked = next((engine for engine in begun if engine in known), None)
        return known[walked] if walked else next(reversed(known.values()), None)

    def outings(self) -> list[Outing]:
        """Return the walks of the journal, oldest first; those that this knowledge can't fold are left out."""
        return [found for stream in self.journal.streams(OUTINGS) if (found := self._read(stream)) is not None]

    def open_outings(self) -> list[Outing]:
        """Return the walks without a verdict, newest first, out of the newest `LOOKED_AT`."""
        newest = reversed(self.journal.streams(OUTINGS)[-LOOKED_AT:])
        return [found for stream in newest if (found := self._read(stream, ended=False)) is not None and found.open]

    def _read(self, stream: Stream, *, ended: bool = True) -> Outing | None:
        """Return a walk, None when it can't be folded; without `ended` also when its events alone say that it ended."""
        try:
            events = self._events(stream.name)
            if not ended and any(ends(event) for _, event in effective(events)):
                return None  # folding it costs far more than seeing this
            walk = replay(self.knowledge, events)
            walk.view(stream.last_at)  # all of it, here: an outing that can't be shown must not stop the others
        except (DiagnoseError, ValueError, KeyError, IndexError):  # made by other knowledge: kept, but not shown
            return None
        return Outing(stream.name.removeprefix(OUTINGS), walk, stream.last_at)

    def _events(self, stream: str) -> list[ev.Event]:
        return [ev.from_json(body) for body in self.journal.read(stream)]

    def _today(self, engine: str, at: float) -> list[Outing]:
        """Return the outings of an engine on the day of `at`, oldest first: no answer outlives its day."""
        streams = [one for one in self.journal.streams(OUTINGS) if same_day(one.last_at, at)]
        mine = [one for one in streams if whose(self.journal, one.name) == engine]
        return [found for one in mine if (found := self._read(one)) is not None]

    def _left_open(self, engine: str) -> tuple[str, ...]:
        """Return what the newest outing of an engine left open: nobody has said that it was closed."""
        mine = (one for one in reversed(self.journal.streams(OUTINGS)) if whose(self.journal, one.name) == engine)
        newest = next(mine, None)
        found = self._read(newest) if newest is not None else None
        return found.walk.state.open if found is not None else ()

    def starting(self, symptom: str, engine: Engine | None = None, variant: Variant | None = None) -> ev.Started:
        """Return how a walk would start now: with what the ledger, the day and earlier outings of the engine say."""
        at = self.clock()
        started = ev.Started(at, self.knowledge.digest, symptom, "", variant or Variant())
        if engine is None:
            return started
        started = msgspec.structs.replace(started, engine=engine.name, variant=engine.variant)
        if engine.name not in self.engines():  # without a name, or lost with a journal that broke
            return started
        ledger, card = self.ledger(engine.name), self.card(engine.name)
        going = self.going_back(engine.name)
        own = {**(well.own(card) if card else {}), **self.variant(engine).own}
        air_screw = ledger.air_screw or engine.variant.air_screw
        found = None
        with suppress(DiagnoseError):  # a ledger that leads nowhere is no evidence
            found = self.explained(engine.name)
        return msgspec.structs.replace(
            started,
            variant=msgspec.structs.replace(engine.variant, own=own, air_screw=air_screw),
            carried=tuple(carried(self._today(engine.name, at), lambda given: same_day(given, at))),
            turned=ledger.moved,
            explained={"high needle": found.at_least} if found is not None and found.at_least else {},
            recorded=going is not None,
            back=targets(going, air_screw=ledger.air_screw),
            back_because=going.because if going else "",
            drift=drifted(found),
            open=self._left_open(engine.name),
            well=well.when_good(card, self.knowledge.checks) if card else {},
        )

    def start(self, symptom: str, engine: Engine | None = None, variant: Variant | None = None) -> Walk:
        """Start a walk and store its first event; raises `DiagnoseError` for an unknown symptom."""
        started = self.starting(symptom, engine, variant)
        at = started.at
        walk = begin(self.knowledge, started)
        outing = datetime.fromtimestamp(at).strftime("%Y-%m-%d %H.%M.%S")
        taken = {stream.name for stream in self.journal.streams(OUTINGS)}
        count = 1
        while f"{OUTINGS}{outing}" in taken:
            count += 1
            outing = f"{outing[:19]} {count}"
        self.journal.append(f"{OUTINGS}{outing}", 0, [ev.to_json(started)], at)
        self._open(outing, walk)
        return walk

    def resume(self, outing: str) -> Walk:
        """Go on with a walk of the journal, exactly where it was left."""
        known = {one.id: one.walk for one in self.outings()}
        if outing not in known:
            raise DiagnoseError(f"there is no outing '{outing}'{did_you_mean(outing, known)}")
        self._open(outing, known[outing])
        return known[outing]

    def _open(self, outing: str, walk: Walk) -> None:
        self.outing, self.walk = outing, walk
        self.greeted = self.since_asked = False

    def record(self, event: ev.Event) -> Walk:
        """Store an event, then move the walk on; raises `Conflict` after reading what another window wrote."""
        walk = self._walk()
        grown = walk.plus(event)
        try:
            self.journal.append(f"{OUTINGS}{self.outing}", len(walk.events), [ev.to_json(event)], event.at)
        except Conflict:
            events = self.journal.read(f"{OUTINGS}{self.outing}")
            self.walk = replay(self.knowledge, [ev.from_json(body) for body in events])
            raise
        self.walk = grown
        return grown

    def save_nowhere(self) -> None:
        """Go on in memory: the person agreed that nothing more is saved."""
        memory, stream = self.journal.into_memory(), f"{OUTINGS}{self.outing}"
        if self.walk is not None and not memory.read(stream, most=1):
            memory.append(stream, 0, [ev.to_json(event) for event in self.walk.events], self.clock())
        self.journal.close()
        self.journal = memory
        self.ledgers = Ledgers(self.knowledge)

    def due(self, step: Step | None) -> Due:
        """Say what is put to the person now: cautions not yet read before the questions, those before `step`."""
        walk = self._walk()
        if walk.verdict() is not None:
            return "end"
        if self.new_cautions(step) or self.stop_first:
            return "cautions"
        if walk.started.carried and not self.since_asked and len(walk.events) == 1:
            return "since"
        return "history" if untold(walk) else "step"

    @property
    def stop_first(self) -> bool:
        """Say whether this walk must open with stopping the engine."""
        walk = self._walk()
        return walk.knowledge.symptoms[walk.symptom].runs_away and not self.greeted

    def has_read(self, cautions: Iterable[str]) -> None:
        """Note that the person has read these, and the first page with them."""
        self.told.update(cautions)
        self.greeted = True

    def may_open(self, check: str) -> bool:
        """Say whether a check may be answered out of turn now: a guard, or one that the walk lists."""
        walk = self._walk()
        return check in walk.scope.guards or any(check == known for known, _ in walk.askable())

    def new_cautions(self, step: Step | None) -> tuple[str, ...]:
        """Return the cautions of the symptom, then of `step`, that the person has not read yet."""
        walk = self._walk()
        owed = (*walk.knowledge.symptoms[walk.symptom].cautions, *(step.cautions if step and not untold(walk) else ()))
        return tuple(name for name in dict.fromkeys(owed) if name not in self.told)

    def owed_at_end(self) -> tuple[OwedLine, ...]:
        """Return what was still owed when the walk ended: a verdict itself owes nothing."""
        walk = self._walk()
        events = walk.events[:-1] if walk.verdict() and len(walk.events) > 1 else walk.events
        return replay(walk.knowledge, events).view(self.clock()).owed

    def may_be_turned(self) -> bool:
        """Say whether an adjustment is at stake in this walk: a screw's setting could be what is wrong."""
        return to_turn(self.knowledge, self._walk().standing.belief)

    def write_sheet(self, text: str) -> str:
        """Write what is handed over to a file in the data directory, and return its path; raises `OSError`."""
        folder = home() / "sheets"
        folder.mkdir(parents=True, exist_ok=True)
        sheet = folder / f"{self.outing}.txt"
        sheet.write_text(text, "utf-8")
        return str(sheet)

    def _walk(self) -> Walk:
        if self.walk is None:
            raise DiagnoseError("no walk has been started")
        return self.walk


def untold(walk: Walk) -> tuple[str, ...]:
    """Return the history questions that are still to be put: none once a step was made."""
    if any(isinstance(event, ev.STEPPED) for _, event in effective(walk.events)):
        return ()
    return tuple(name for name, _ in walk.history())


def to_turn(knowledge: Knowledge, faults: Iterable[str]) -> bool:
    """Say whether one of these is put right by an adjustment, and by nothing else."""
    return any(knowledge.faults[fault].turned for fault in faults if fault in knowledge.faults)


def reading_unit(step: Step) -> str:
    """Return the unit of the number that may be typed for a step, or nothing."""
    if step.reading is not None:
        return step.reading.unit
    return "°C" if step.kind == "prepare" and any(choice.id == "too hot" for choice in step.choices) else ""


def by_when(knowledge: Knowledge) -> list[tuple[str, list[tuple[str, Symptom]]]]:
    """Return the symptoms (id, symptom) grouped by when it happens; doors, which no fault explains, come first."""
    explained = {symptom for fault in knowledge.faults.values() for symptom in fault.explains}
    ordered = sorted(knowledge.symptoms.items(), key=lambda pair: (pair[0] in explained, pair[1].name))
    groups = [(when, [pair for pair in ordered if pair[1].when == when]) for when in WHENS]
    return [(when, found) for when, found in groups if found]
