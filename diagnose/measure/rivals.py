"""Other ways of working at the same engines, against which the program's minutes are held.

All go through the same hands as the program: the same engine, noise, minutes and bench states. All keep the guards
and the first looks before a needle, except that `needles_first` turns its needles before anything else.

- *all-knowing*: `diagnose.practice.mechanic`, since a practice is held against him too.
- *static order*: every check of the symptom by probability per minute, as seen at the start and never again; what is
  accused is mended by belief per minute; then the needles, an hour at a time; then the strip-downs; then the record.
- *random*: the same with every order drawn.
- *needles first*: turns the screws that explain the symptom, likeliest first, an hour and then a second; after that
  the program's own advice. What only hides a fault ends his work too.
"""

from __future__ import annotations

from random import Random

from diagnose.graph.model import RUNNING, Knowledge, Screw
from diagnose.practice.drive import Drive, drive
from diagnose.practice.engine import SimEngine
from diagnose.practice.mechanic import HOURS_TRIED, RICHER, Worker
from diagnose.reason.belief import prior
from diagnose.reason.scope import Scope


class _Other(Worker):
    """What every other way of working can do."""

    def __init__(self, engine: SimEngine, knowledge: Knowledge, scope: Scope) -> None:
        super().__init__(engine, knowledge, scope)
        self.hands.measured = True
        self.mended: set[str] = set()

    def run(self) -> bool:
        """Make the guards that are owed before the engine runs; what they show is mended at once."""
        for guard in self.scope.guards:
            if guard not in self.guarded:
                self.guarded.add(guard)
                if self.check(guard):
                    return True
        return False

    def done(self) -> bool:
        """Try again; say whether it is gone."""
        if self.knowledge.symptoms[self.symptom].retest.state in RUNNING and self.run():
            return True
        return self.hands.try_again() == "cured"

    def check(self, name: str) -> bool:
        """Make a check, and mend what it accuses; say whether that ended the complaint."""
        check = self.scope.checks[name]
        if check.runs and self.run():
            return True
        answer = self.hands.look(name)
        if answer is None:
            return False
        said = check.answers[answer]
        if said.healthy:
            self.looked |= self.scope.clears(name)
            return False
        if said.mends:
            return self.done()
        for fault in self.accused(name, answer):
            self.mended.add(fault)
            self.hands.mend(fault)
            again = self.hands.look(name)
            if again is not None and check.answers[again].healthy:
                self.looked |= self.scope.clears(name)
                return self.done()
        return False

    def accused(self, check: str, answer: str) -> list[str]:
        """Return the faults that an answer accuses and a mend can put right, belief per minute of mending first."""
        likelihood = self.scope.answer(check, answer)
        weights = self.knowledge.explaining(self.symptom, self.scope.engine)
        named = [
            fault
            for fault in self.scope.checks[check].answers[answer].names
            if fault in self.scope.faults
            and not self.scope.faults[fault].turned
            and likelihood.of(fault) > likelihood.otherwise
            and fault not in self.mended
        ]

        def rate(fault: str) -> float:
            return weights.get(fault, 0.5) * likelihood.of(fault) / max(self.scope.faults[fault].mend.minutes, 0.1)

        return sorted(named, key=lambda fault: (-rate(fault), fault))

    def turn(self, screw: Screw, hours: float) -> bool:
        """Bring it to heat and turn one screw; False when it will not run."""
        if self.run() or not self.hands.warm():
            return False
        self.hands.minutes += self.scope.minutes("needle-step-minutes")
        self.hands.turn({screw: hours})
        return True

    def tries_needle(self, fault: str, *, strips: bool) -> bool:
        """Turn a screw an hour the way that would put its fault right, and a second if that was better."""
        found = self.scope.faults[fault]
        assert found.screw is not None
        hours = RICHER[str(found.setting)]
        for step in range(HOURS_TRIED):
            if step and strips and self.strips():
                return True
            if not self.turn(found.screw, hours):
                return False
            outcome = self.hands.try_again()
            if outcome == "cured":
                return True
            if outcome != "better":
                self.hands.minutes += self.scope.minutes("needle-step-minutes")
                self.hands.turn({found.screw: -hours})
                return False
        return False

    def strips(self) -> bool:
        """Make the strip-downs that look for what is owed; say whether that ended the complaint."""
        owed = self.knowledge.strip_owed(self.symptom, self.scope.engine)
        for name in self.ordered("strip"):
            if (self.scope.clears(name) & owed) - self.looked and self.check(name):
                return True
        return False

    def ordered(self, look: str) -> list[str]:
        """Return the checks of a kind by probability per minute, as seen at the start."""
        belief = prior(self.knowledge.explaining(self.symptom, self.scope.engine))

        def rate(name: str) -> float:
            shown = self.scope.shown(name)
            return sum(p * shown.of(fault) for fault, p in belief.items()) / max(self.scope.checks[name].minutes, 0.1)

        names = [n for n, check in self.scope.checks.items() if check.look == look and self.scope.clears(n)]
        return sorted(names, key=lambda name: (-rate(name), name))

    def screws(self) -> list[str]:
        """Return the faults of needles that explain the symptom, likeliest first."""
        weights = self.knowledge.explaining(self.symptom, self.scope.engine)
        return sorted((f for f in weights if self.scope.faults[f].turned), key=lambda fault: (-weights[fault], fault))


def in_order(engine: SimEngine, knowledge: Knowledge, scope: Scope, rng: Random | None = None) -> Drive:
    """Work through every check in one order: by probability per minute, or (with `rng`) at random."""
    worker = _Other(engine, knowledge, scope)
    owed = knowledge.first_owed(worker.symptom, scope.engine)
    names, screws = worker.ordered("first"), worker.screws()
    if rng is not None:
        rng.shuffle(names)
        rng.shuffle(screws)
    for name in names:
        if name in worker.guarded or not (scope.clears(name) & owed) - worker.looked:
            continue
        worker.guarded.update({name} & set(scope.guards))
        if worker.check(name):
            return worker.ended("cured")
    if knowledge.symptoms[worker.symptom].runs:
        for fault in screws:
            if worker.tries_needle(fault, strips=True):
                return worker.ended("cured")
    if worker.strips():
        return worker.ended("cured")
    return worker.ended("cured" if _back(worker) else "handed over")


def _back(worker: _Other) -> bool:
    """Go back to the record, if there is one; say whether that ended the complaint."""
    if not worker.hands.engine.recorded:
        return False
    worker.hands.spend("parked", worker.knowledge.preparations["going-back"].minutes)
    worker.hands.go_back()
    return worker.done()


def needles_first(engine: SimEngine, knowledge: Knowledge, scope: Scope) -> Drive:
    """Turn the needles before anything else, then do as the program says."""
    worker = _Other(engine, knowledge, scope)
    worker.guarded = set(scope.guards)  # he does not look at the throttle first
    hands = worker.hands
    if knowledge.symptoms[worker.symptom].runs:
        for fault in worker.screws():
            if worker.tries_needle(fault, strips=False):
                return worker.ended("cured")  # he believes it: whether anything is still wrong, nobody tells him
    hands.complaints = [engine.complaint]
    return drive(engine, knowledge, scope, hands)
