"""One person at one journal: starts walks, records what happens before anything moves on, and finds them again.

Front ends (the screens, the plain walk, the commands) talk to this, so that none of them knows SQL or a clock.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import Literal, NamedTuple

from diagnose.errors import DiagnoseError
from diagnose.graph.model import RUNNING, Knowledge, Screw, Symptom, Variant
from diagnose.graph.problem import did_you_mean
from diagnose.reason import events as ev
from diagnose.reason.explain import STEPPED
from diagnose.reason.state import effective, signed
from diagnose.reason.view import OwedLine, Step
from diagnose.reason.walk import Walk, begin, replay
from diagnose.record.engines import Engine, add, engines
from diagnose.record.journal import Conflict, Journal, Stream, home

PREFIX = "outing/"
Clock = Callable[[], float]
Due = Literal["cautions", "since", "history", "step", "end"]

LOOKED_AT = 40
"""How many of the newest walks are looked at for one that is still open."""

WHENS = ("starting", "at idle", "pulling away", "at speed", "any time")


class Outing(NamedTuple):
    """A walk in the journal."""

    id: str
    walk: Walk
    last_at: float

    @property
    def open(self) -> bool:
        """Say whether it has no verdict yet."""
        return self.walk.verdict() is None


class Session:
    """Knowledge, a journal, and the walk that is being made. `clock` returns seconds since the epoch."""

    def __init__(self, knowledge: Knowledge, journal: Journal, clock: Clock = time.time) -> None:
        self.knowledge = knowledge
        self.journal = journal
        self.clock = clock
        self.outing = ""
        self.walk: Walk | None = None
        self.told: set[str] = set()
        """Cautions that the person has read in full since the program was opened."""
        self.greeted = False
        """True once the first page of this walk was read."""
        self.since_asked = False

    def engines(self) -> dict[str, Engine]:
        """Return the recorded engines by name."""
        return engines(self.journal)

    def engine(self, name: str) -> Engine:
        """Return an engine; raises `DiagnoseError` with the nearest name when there is none."""
        known = self.engines()
        if name not in known:
            hint = did_you_mean(name, known) or "; add it with: diagnose engine add NAME"
            raise DiagnoseError(f"there is no engine called '{name}'{hint}")
        return known[name]

    def add_engine(self, engine: Engine) -> Engine:
        """Record a new engine."""
        return add(self.journal, engine, self.clock())

    def last_engine(self) -> Engine | None:
        """Return the engine of the newest walk, else the one added last, else None."""
        known = self.engines()
        begun = (self._started(stream) for stream in reversed(self.journal.streams(PREFIX)))
        walked = next((started.engine for started in begun if started and started.engine in known), None)
        return known[walked] if walked else next(reversed(known.values()), None)

    def outings(self) -> list[Outing]:
        """Return the walks of the journal, oldest first; those that this knowledge can't fold are left out."""
        return [found for stream in self.journal.streams(PREFIX) if (found := self._read(stream)) is not None]

    def open_outings(self) -> list[Outing]:
        """Return the walks without a verdict, newest first, out of the newest `LOOKED_AT`."""
        newest = reversed(self.journal.streams(PREFIX)[-LOOKED_AT:])
        return [found for stream in newest if (found := self._read(stream, ended=False)) is not None and found.open]

    def _read(self, stream: Stream, *, ended: bool = True) -> Outing | None:
        """Return a walk, None when it can't be folded; without `ended` also when its events alone say that it ended."""
        try:
            events = self._events(stream.name)
            if not ended and any(_ends(event) for _, event in effective(events)):
                return None  # folding it costs far more than seeing this
            walk = replay(self.knowledge, events)
            walk.view(stream.last_at)  # all of it, here: an outing that can't be shown must not stop the others
        except (DiagnoseError, ValueError, KeyError, IndexError):  # made by other knowledge: kept, but not shown
            return None
        return Outing(stream.name.removeprefix(PREFIX), walk, stream.last_at)

    def _started(self, stream: Stream) -> ev.Started | None:
        """Return the first event of an outing, None when it is none of ours."""
        with suppress(ValueError):
            first = ev.from_json(self.journal.read(stream.name)[0])
            return first if isinstance(first, ev.Started) else None
        return None

    def _events(self, stream: str) -> list[ev.Event]:
        return [ev.from_json(body) for body in self.journal.read(stream)]

    def _turned(self, engine: str) -> dict[Screw, float]:
        """Return how far the screws of an engine stand from its last good tune."""
        found = []
        for stream in self.journal.streams(PREFIX):
            with suppress(ValueError):  # not an event of ours
                events = self._events(stream.name)
                if events and isinstance(events[0], ev.Started) and events[0].engine == engine:
                    found.append(events)
        return turned(found, self.knowledge)

    def _today(self, engine: str, at: float) -> list[Outing]:
        """Return the outings of an engine on the day of `at`, oldest first: no answer outlives its day."""
        streams = [one for one in self.journal.streams(PREFIX) if _same_day(one.last_at, at)]
        mine = [one for one in streams if (started := self._started(one)) and started.engine == engine]
        return [found for one in mine if (found := self._read(one)) is not None]

    def starting(self, symptom: str, engine: Engine | None = None, variant: Variant | None = None) -> ev.Started:
        """Return how a walk would start now: with what earlier outings of the engine carry over."""
        at = self.clock()
        name = engine.name if engine else ""
        return ev.Started(
            at,
            self.knowledge.digest,
            symptom,
            name,
            engine.variant if engine else variant or Variant(),
            carried=tuple(carried(self._today(name, at), at)) if name else (),
            turned=self._turned(name) if name else {},
            recorded=bool(engine and engine.settings),
            record=dict(engine.settings) if engine else {},
        )

    def start(self, symptom: str, engine: Engine | None = None, variant: Variant | None = None) -> Walk:
        """Start a walk and store its first event; raises `DiagnoseError` for an unknown symptom."""
        started = self.starting(symptom, engine, variant)
        at = started.at
        walk = begin(self.knowledge, started)
        outing = datetime.fromtimestamp(at).strftime("%Y-%m-%d %H.%M.%S")
        taken = {stream.name for stream in self.journal.streams(PREFIX)}
        count = 1
        while f"{PREFIX}{outing}" in taken:
            count += 1
            outing = f"{outing[:19]} {count}"
        self.journal.append(f"{PREFIX}{outing}", 0, [ev.to_json(started)], at)
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
            self.journal.append(f"{PREFIX}{self.outing}", len(walk.events), [ev.to_json(event)], event.at)
        except Conflict:
            events = self.journal.read(f"{PREFIX}{self.outing}")
            self.walk = replay(self.knowledge, [ev.from_json(body) for body in events])
            raise
        self.walk = grown
        return grown

    def save_nowhere(self) -> None:
        """Go on in memory: the person agreed that nothing more is saved."""
        memory = Journal.in_memory()
        if self.walk is not None:
            memory.append(f"{PREFIX}{self.outing}", 0, [ev.to_json(e) for e in self.walk.events], self.clock())
        self.journal.close()
        self.journal = memory

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


def cache_dir() -> Path:
    """Return the folder where the packed knowledge is kept."""
    if chosen := os.environ.get("DIAGNOSE_HOME"):
        return Path(chosen) / "cache"
    from platformdirs import user_cache_path  # only where it is needed: it costs a first screen

    return user_cache_path("needles-last", appauthor=False)


def carried(before: list[Outing], at: float) -> list[ev.Carried]:
    """Return the healthy answers of earlier outings of one engine that still count at `at`.

    For a day, on that day. For a start or a tank, until the person says that the car was started or refuelled, or the
    walk ran it itself. For an outing, while the car stays out: that day, until a mend or a crash.
    """
    found: dict[str, ev.Carried] = {}
    for outing in before:
        state, scope = outing.walk.state, outing.walk.scope
        for gone in {one.check for one in outing.walk.started.carried} - state.answers.keys():
            found.pop(gone, None)  # that outing retired it
        ran = max((event.at for _, event in effective(outing.walk.events) if _runs(outing.walk, event)), default=0.0)
        for check, given in state.answers.items():
            same_day = _same_day(given.at, at)
            started = scope.checks[check].good_for == "start" and given.at < ran
            if same_day and not started and not scope.checks[check].guard and state.healthy(scope, check):
                found[check] = ev.Carried(check, given.answer, given.at, outing.id)
            else:
                found.pop(check, None)
    return list(found.values())


def _ends(event: ev.Event) -> bool:
    return isinstance(event, (ev.HandedOver, ev.Ended)) or (isinstance(event, ev.Retested) and event.outcome == "cured")


def _same_day(one: float, other: float) -> bool:
    return datetime.fromtimestamp(one).date() == datetime.fromtimestamp(other).date()


def _runs(walk: Walk, event: ev.Event) -> bool:
    """Say whether the engine ran for an event."""
    match event:
        case ev.Answered() | ev.Measured():
            return walk.scope.checks[event.check].runs
        case ev.Prepared():
            return walk.knowledge.preparations[event.preparation].state in RUNNING
        case ev.Retested():
            return walk.standing.symptom.retest.state in RUNNING
        case _:
            return False


def turned(streams: Iterable[Sequence[ev.Event]], knowledge: Knowledge) -> dict[Screw, float]:
    """Return how many hours each screw of an engine stands from its last good tune, over all its outings.

    Outings that this knowledge can't walk any more count too: a screw stays where it was turned. A cure is a good tune.
    """
    happened = [(event.at, number, event) for number, one in enumerate(streams) for _, event in effective(one)]
    stands: dict[Screw, float] = {}
    turns: list[dict[Screw, float]] = []
    for _, _, event in sorted(happened, key=lambda one: one[:2]):
        match event:
            case ev.Adjusted():
                turns.append({event.screw: signed(event.way, event.hours), **event.follow})
                for screw, hours in turns[-1].items():
                    stands[screw] = stands.get(screw, 0.0) + hours
            case ev.Undone() if turns:
                for screw, hours in turns.pop().items():
                    stands[screw] = stands.get(screw, 0.0) - hours
            case ev.Restored():
                stands.clear()
            case ev.Retested() if event.outcome == "cured":
                stands.clear()
            case ev.Mended() if (fault := knowledge.faults.get(event.fault)) and fault.mend.back and fault.screw:
                stands.pop(fault.screw, None)
            case _:
                pass
    return {screw: hours for screw, hours in stands.items() if hours}


def untold(walk: Walk) -> tuple[str, ...]:
    """Return the history questions that are still to be put: none once a step was made."""
    if any(isinstance(event, STEPPED) for _, event in effective(walk.events)):
        return ()
    return tuple(name for name, _ in walk.history())


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
