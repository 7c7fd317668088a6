"""Hands at a simulated engine: they look, mend, turn and try again, and every minute and every change is counted.

The program's advice and every other way of working go through the same hands, so that they see the same engine with
the same noise: the n-th look at a check errs alike whoever makes it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping
from copy import copy
from random import Random
from typing import NamedTuple

from diagnose.graph.link import RETEST
from diagnose.graph.model import CLOSE, RUNNING, Check, Screw, Work
from diagnose.graph.model.parts import SCREWS
from diagnose.practice.engine import SimEngine
from diagnose.practice.person import USUAL, Person
from diagnose.practice.symptoms import RUNS, STARTING, reported, strengths
from diagnose.reason.order import PlannedLook, in_a_row
from diagnose.reason.scope import Scope
from diagnose.reason.steps import HEAT
from diagnose.reason.walk import OUTCOMES

BETTER = 0.85
"""A symptom that is this much weaker than before is better, not gone: a sixth is heard."""
HANDLING = 0.25
"""Minutes to read what is asked and to answer it, beside the look itself: assumed."""
HOT_PIPE = "pressure-line"
"""What is not taken off before the pipe has cooled."""
LAPS = "laps"
"""What readings after laps are counted by."""
PIPE_COOLS = 2.0
"""Minutes until it has, after the engine ran: assumed."""
NOT_RUNNING = 2.0
"""The strength of any complaint about running, on an engine that has stopped running."""


class HandsDid(NamedTuple):
    """One thing that was done to the engine."""

    kind: str
    """``mend``, ``swap``, ``turn`` or ``back``."""
    what: str
    helped: bool
    """It put something right that was wrong, or brought a displaced screw nearer."""
    mechanical: bool
    """A mechanical fault was there when it was done."""


class Hands:
    """One person at one engine."""

    def __init__(self, engine: SimEngine, scope: Scope, person: Person = USUAL, *, measured: bool = False) -> None:
        self.engine = engine
        self.scope = scope
        self.person = person
        self.measured = measured
        """What a look takes beside its own minutes is counted too: a practice counts those of the knowledge alone."""
        self.minutes = 0.0
        self.bench = "parked"
        self.open: tuple[str, ...] = ()
        self.last: PlannedLook | None = None
        """The look that was made just now, and the longest line of its round so far: a round may go on."""
        self.longest = 0.0
        self.visits: Counter[str] = Counter()
        self.changes: list[HandsDid] = []
        self.complaints = [engine.complaint]
        self.felt = self.strength()

    def twin(self) -> Hands:
        """Return hands at the same place, which go on by themselves."""
        made = copy(self)
        made.visits, made.changes, made.complaints = copy(self.visits), list(self.changes), list(self.complaints)
        return made

    @property
    def now(self) -> float:
        """Whole seconds since the start: a head reading is two minutes old to the second."""
        return float(round(self.minutes * 60))

    def strength(self) -> float:
        """Return how strongly what was complained of shows now."""
        found = strengths(self.engine.state)
        if STARTING & set(self.complaints) or "will-not-start" in self.complaints:
            return max(found[name] for name in STARTING)
        return NOT_RUNNING if self.stopped() else max(found.get(name, 0.0) for name in self.complaints)

    def stopped(self) -> bool:
        """Say whether it does not run any more, so that what was complained of can't be seen."""
        if STARTING & set(self.complaints) or "will-not-start" in self.complaints:
            return False
        found = strengths(self.engine.state)
        return self.engine.seen().stage < RUNS and not any(found.get(name, 0.0) for name in self.complaints)

    def wrong(self) -> list[str]:
        """Return the faults that are still there."""
        return [trouble.fault for trouble in self.engine.troubles if self.engine.still_wrong(trouble)]

    def mechanical(self) -> bool:
        """Say whether a mechanical fault is still there."""
        return any(self.scope.knowledge.faults[fault].mechanical for fault in self.wrong())

    def spend(self, state: str, minutes: float) -> None:
        """Count the minutes of something that is done in a bench state, with the change into it."""
        self.minutes += minutes + self.scope.change(self.bench, state)
        self.bench = state
        self.last, self.longest = None, 0.0

    def count(self, check: str, *, handled: bool = False) -> None:
        """Count the minutes of a check, fewer where it goes on with a round; `handled`: with what it takes beside."""
        look, made, bench = self.scope.look(check), self.scope.checks[check], self.bench
        self._close_for(made)
        took, longest = in_a_row(look, self.last, self.longest)
        self.spend(look.state, took + (self.beside(made, bench) if handled else 0.0))
        self.last, self.longest = look, longest
        self.open = made.open_after(self.open)

    def work(self, work: Work, minutes: float) -> None:
        """Count something that is done to the car; it is closed up first where the engine turns for it."""
        self._close_for(work)
        self.spend(work.state, minutes)
        self.open = work.open_after(self.open)

    def _close_for(self, work: Work) -> None:
        if work.engine != "off" and set(self.open) - work.may_be_open.keys():
            self.spend("parked", self.scope.knowledge.preparations[CLOSE].minutes)
            self.open = ()

    def beside(self, check: Check, bench: str) -> float:
        """Return the minutes that a look takes beside its own: reading and answering, and a pipe that has to cool."""
        if not self.measured:
            return 0.0
        return HANDLING + (PIPE_COOLS if bench in RUNNING and HOT_PIPE in check.takes_off else 0.0)

    def see(self, check: str) -> str | float | None:
        """Look, without counting: an answer's id, a reading, or None for "can't tell". A swapped part stays in."""
        visit = self.visits[check]
        self.visits[check] += 1
        seen = self.engine.see(check, self.scope.checks[check], visit, self.complaints[-1], self.person)
        self.engine = self.engine.looked(check)
        return seen

    def look(self, check: str) -> str | None:
        """Make a check and count it; a reading comes back as the answer whose band it is in."""
        made = self.scope.checks[check]
        self.count(check, handled=True)
        before = self.engine
        seen = self.see(check)
        answer = self.scope.knowledge.band(made, seen, self.scope.engine) if isinstance(seen, float) else seen
        if answer is not None and (swapped := made.answers[answer].mends):
            self.note(before, "swap", swapped)
        return answer

    def mend(self, fault: str) -> None:
        """Mend a fault and count it; a screw's mend at the bench too."""
        mend = self.scope.faults[fault].mend
        self.work(mend, mend.minutes)
        self.do_mend(fault)

    def do_mend(self, fault: str) -> None:
        """Mend a fault, without counting."""
        before = self.engine
        self.engine = self.engine.mended(fault, self.scope.faults[fault])
        self.note(before, "back" if self.scope.faults[fault].mend.back else "mend", fault)

    def turn(self, moves: Mapping[Screw, float]) -> None:
        """Turn screws by signed hours, without counting."""
        before = self.engine
        self.engine = self.engine.turned(moves)
        self.note(before, "turn", next(iter(moves)))

    def go_back(self, only: Collection[Screw] = ()) -> None:
        """Go back to the record, with all screws or `only` some, without counting."""
        before = self.engine
        self.engine = self.engine.gone_back(only or SCREWS)
        self.note(before, "back", "record")

    def note(self, before: SimEngine, kind: str, what: str) -> None:
        """Note a change that was made to the engine."""
        after = self.engine
        there = [trouble for trouble in before.troubles if before.still_wrong(trouble)]
        helped = any(not after.still_wrong(trouble) for trouble in there) or _nearer(before, after)
        mechanical = any(self.scope.knowledge.faults[trouble.fault].mechanical for trouble in there)
        self.changes.append(HandsDid(kind, what, helped, mechanical))

    def retest(self) -> str:
        """Try again, without counting: what a person finds of the complaint, against the last time."""
        before, self.felt = self.felt, self.strength()
        changed = 1 if self.felt < BETTER * before else 3 if self.felt * BETTER > before else 2
        found = 0 if self.felt < 1 else changed
        self.visits[RETEST] += 1
        rng = Random(f"{self.engine.seed} {RETEST} {self.visits[RETEST]}")
        if self.person.retest_errs and rng.random() < self.person.retest_errs:
            found = min(max(found + rng.choice((-1, 1)), 0), len(OUTCOMES) - 1)
        return tuple(OUTCOMES)[found]

    def try_again(self) -> str:
        """Try again, and count it."""
        retest = self.scope.knowledge.symptoms[self.complaints[-1]].retest
        self.work(retest, retest.minutes)
        self.bench = "running on the stand" if retest.state in RUNNING else retest.state
        return self.retest()

    def warm(self) -> bool:
        """Bring it to heat and count it; False when it will not run."""
        prepared = self.scope.knowledge.preparations[HEAT]
        self._close_for(prepared)
        self.minutes += prepared.minutes
        self.bench = prepared.state
        self.last = None
        self.visits[HEAT] += 1
        return self.engine.head(self.visits[HEAT]) is not None

    def laps(self) -> float | None:
        """Drive fast laps, count them, and return the °C of the head as it comes in; None if it will not run."""
        self._close_for(self.scope.knowledge.preparations[HEAT])
        self.spend("on the track", self.scope.minutes("retest-track-minutes"))
        self.visits[LAPS] += 1
        return self.engine.head_after_laps(self.visits[LAPS])

    def complains_again(self) -> str | None:
        """Return what the owner reports now, None when nothing is amiss."""
        known = frozenset(self.scope.knowledge.symptoms) - {"will-not-start", "first-start"}
        return reported(self.engine.state, known, Random(f"{self.engine.seed} again {len(self.complaints)}"))


def _nearer(before: SimEngine, after: SimEngine) -> bool:
    """Say whether a screw that stood over an hour off came nearer by a good part of an hour."""
    for screw in ("high needle", "mid needle", "low needle", "idle stop"):
        was, stands = abs(before.off_record(screw)), abs(after.off_record(screw))
        if was > (5 if screw == "idle stop" else 1) and was - stands >= 0.5:
            return True
    return False
