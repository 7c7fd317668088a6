"""One person at one journal: starts walks, records what happens before anything moves on, and finds them again.

Front ends (the screens, the plain walk, the commands) talk to this, so that none of them knows SQL or a clock.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import datetime
from typing import NamedTuple

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge, Screw, Variant
from diagnose.graph.problem import did_you_mean
from diagnose.reason import events as ev
from diagnose.reason.walk import Walk, begin, replay
from diagnose.record.engines import Engine, add, engines
from diagnose.record.journal import Conflict, Journal

PREFIX = "outing/"
Clock = Callable[[], float]


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

    def outings(self) -> list[Outing]:
        """Return the walks of the journal, oldest first; those that this knowledge can't fold are left out."""
        found = []
        for stream in self.journal.streams(PREFIX):
            try:
                events = [ev.from_json(body) for body in self.journal.read(stream.name)]
                found.append(Outing(stream.name.removeprefix(PREFIX), replay(self.knowledge, events), stream.last_at))
            except (DiagnoseError, ValueError, KeyError):  # made by other knowledge: kept, but not shown
                continue
        return found

    def open_outings(self) -> list[Outing]:
        """Return the walks without a verdict, newest first."""
        return [outing for outing in reversed(self.outings()) if outing.open]

    def start(self, symptom: str, engine: Engine | None = None, variant: Variant | None = None) -> Walk:
        """Start a walk and store its first event; raises `DiagnoseError` for an unknown symptom."""
        at = self.clock()
        name = engine.name if engine else ""
        before = [outing for outing in self.outings() if name and outing.walk.started.engine == name]
        settings = engine.settings if engine else {}
        started = ev.Started(
            at,
            self.knowledge.digest,
            symptom,
            name,
            engine.variant if engine else variant or Variant(),
            carried=tuple(carried(before, at)),
            turned=turned(before),
            recorded=bool(settings),
        )
        walk = begin(self.knowledge, started)
        outing = datetime.fromtimestamp(at).strftime("%Y-%m-%d %H.%M.%S")
        taken = {stream.name for stream in self.journal.streams(PREFIX)}
        count = 1
        while f"{PREFIX}{outing}" in taken:
            count += 1
            outing = f"{outing[:19]} {count}"
        self.journal.append(f"{PREFIX}{outing}", 0, [ev.to_json(started)], at)
        self.outing, self.walk = outing, walk
        return walk

    def resume(self, outing: str) -> Walk:
        """Go on with a walk of the journal, exactly where it was left."""
        known = {one.id: one.walk for one in self.outings()}
        if outing not in known:
            raise DiagnoseError(f"there is no outing '{outing}'{did_you_mean(outing, known)}")
        self.outing, self.walk = outing, known[outing]
        return self.walk

    def record(self, event: ev.Event) -> Walk:
        """Store an event, then move the walk on; raises `Conflict` after reading what another window wrote."""
        walk = self._walk()
        grown = walk.plus(event)
        try:
            self.journal.append(f"{PREFIX}{self.outing}", len(walk.events), [ev.to_json(event)], event.at)
        except Conflict:
            self.resume(self.outing)
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

    def _walk(self) -> Walk:
        if self.walk is None:
            raise DiagnoseError("no walk has been started")
        return self.walk


def carried(before: list[Outing], at: float) -> list[ev.Carried]:
    """Return the healthy answers of earlier outings of one engine that still count at `at`.

    What was answered for a start or a tank counts until the person says that the car was started or refuelled; for a
    day, on that day; for an outing, never.
    """
    found: dict[str, ev.Carried] = {}
    for outing in before:
        for check, given in outing.walk.state.answers.items():
            known = outing.walk.scope.checks[check]
            same_day = datetime.fromtimestamp(given.at).date() == datetime.fromtimestamp(at).date()
            good = known.good_for in ("start", "tank", "day") and same_day
            if good and outing.walk.state.healthy(outing.walk.scope, check):
                found[check] = ev.Carried(check, given.answer, given.at, outing.id)
            else:
                found.pop(check, None)
    return list(found.values())


def turned(before: list[Outing]) -> dict[Screw, float]:
    """Return how many hours each screw stands from its last good tune: a cure is a good tune."""
    if not before or before[-1].walk.state.verdict == "cured":
        return {}
    return {screw: hours for screw, hours in before[-1].walk.state.turned.items() if hours}
