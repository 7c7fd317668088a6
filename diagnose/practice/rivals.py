"""Other ways of working at the same engines, against which the program's minutes are held.

All go through the same hands as the program: the same engine, noise, minutes and bench states. All keep the guards
and the first looks before a needle, except that `needles_first` turns its needles before anything else.

- *all-knowing*: knows what is wrong, and keeps the rules. He makes one look that confirms it, the guards before the
  engine runs, the first looks owed when a needle is to be turned (or goes back to the record, if that is quicker),
  mends, and tries again.
- *static order*: every check of the symptom by probability per minute, as seen at the start and never again; what is
  accused is mended by belief per minute; then the needles, an hour at a time; then the strip-downs; then the record.
- *random*: the same with every order drawn.
- *needles first*: turns the screws that explain the symptom, likeliest first, an hour and then a second; what only
  hides a fault comes back, and is turned back; after that the program's own advice.
"""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

from msgspec.structs import replace

from diagnose.graph.model import RUNNING, Knowledge, Screw
from diagnose.practice import symptoms
from diagnose.practice.drive import Drive, drive
from diagnose.practice.engine import SimEngine, Trouble
from diagnose.practice.hands import Hands
from diagnose.reason import order
from diagnose.reason.belief import prior
from diagnose.reason.scope import Scope

MOST_HOURS = 2
RICHER = {"lean": 1.0, "rich": -1.0}


def plain_symptom(engine: SimEngine) -> SimEngine:
    """Return the engine with a door's complaint told plainly: others than the program are spared its questions."""
    if engine.complaint != symptoms.DOOR:
        return engine
    found = symptoms.strengths(engine.state)
    return replace(engine, complaint=max(sorted(symptoms.STARTING), key=lambda name: found[name]))


class _Worker:
    """What every other way of working can do."""

    def __init__(self, engine: SimEngine, knowledge: Knowledge, scope: Scope) -> None:
        self.hands = Hands(plain_symptom(engine), scope)
        self.knowledge, self.scope = knowledge, scope
        self.looked: set[str] = set()
        self.guarded: set[str] = set()
        self.mended: set[str] = set()

    @property
    def symptom(self) -> str:
        return self.hands.complaints[-1]

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
            for fault in self.scope.checks[check].answers[answer].given
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
        for step in range(MOST_HOURS):
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

    def ended(self, verdict: str) -> Drive:
        """Return what it came to."""
        hands = self.hands
        cured = verdict == "cured" and not hands.wrong()
        return Drive(hands.engine, verdict, "", cured, hands.minutes, tuple(hands.changes))


def in_order(engine: SimEngine, knowledge: Knowledge, scope: Scope, rng: Random | None = None) -> Drive:
    """Work through every check in one order: by probability per minute, or (with `rng`) at random."""
    worker = _Worker(engine, knowledge, scope)
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


def _back(worker: _Worker) -> bool:
    """Go back to the record, if there is one; say whether that ended the complaint."""
    if not worker.hands.engine.recorded:
        return False
    worker.hands.spend("parked", worker.knowledge.preparations["going-back"].minutes)
    worker.hands.go_back()
    return worker.done()


def needles_first(engine: SimEngine, knowledge: Knowledge, scope: Scope) -> Drive:
    """Turn the needles before anything else, then do as the program says."""
    worker = _Worker(engine, knowledge, scope)
    worker.guarded = set(scope.guards)  # he does not look at the throttle first
    hands = worker.hands
    if knowledge.symptoms[worker.symptom].runs:
        for fault in worker.screws():
            before = hands.engine.screws
            if worker.tries_needle(fault, strips=False):
                if not hands.wrong():
                    return worker.ended("cured")
                hands.minutes += scope.minutes("needle-step-minutes")  # it comes back, and the screw is turned back
                hands.engine = replace(hands.engine, screws=before)
                hands.felt = hands.strength()
    hands.complaints = [engine.complaint]
    return drive(engine, knowledge, scope, hands)


def all_knowing(engine: SimEngine, knowledge: Knowledge, scope: Scope) -> Drive:
    """Put right what is wrong and nothing else, by the rules."""
    worker = _Worker(engine, knowledge, scope)
    hands = worker.hands
    by_kind = sorted(engine.troubles, key=lambda trouble: not knowledge.faults[trouble.fault].mechanical)
    for trouble in by_kind:
        if not hands.engine.still_wrong(trouble):
            continue
        if knowledge.faults[trouble.fault].turned:
            _turns(worker, trouble)
            continue
        _confirms(worker, [trouble.fault])
        hands.mend(trouble.fault)
        _tries(worker)
    return worker.ended("cured" if hands.strength() < 1 else "handed over")


def _confirms(worker: _Worker, faults: Sequence[str], look: str = "") -> None:
    """Make the quickest looks that show these faults, in the best order; all come out as they must."""
    scope, hands = worker.scope, worker.hands
    looks = [
        order.Look(n, c.minutes, c.state, scope.shown(n).named, scope.shown(n).otherwise, scope.clears(n))
        for n, c in scope.checks.items()
        if look in ("", c.look) and scope.clears(n) & set(faults)
    ]
    if len(faults) == 1 and looks:
        chosen = [min(looks, key=lambda one: (one.minutes + scope.change(hands.bench, one.state), one.id))]
    else:
        even = dict.fromkeys(faults, 1 / max(len(faults), 1))
        chosen = list(order.plan(looks, order.Bench(even, frozenset(faults), hands.bench, scope.change)))
    for one in chosen:
        if scope.checks[one.id].runs:
            _guards(worker)
        hands.spend(one.state, one.minutes)
        worker.guarded.update({one.id} & set(scope.guards))
        worker.looked |= one.clears


def _guards(worker: _Worker) -> None:
    for guard in worker.scope.guards:
        if guard not in worker.guarded:
            worker.guarded.add(guard)
            check = worker.scope.checks[guard]
            worker.hands.spend(check.state, check.minutes)


def _tries(worker: _Worker) -> None:
    if worker.knowledge.symptoms[worker.symptom].retest.state in RUNNING:
        _guards(worker)
    worker.hands.try_again()


def _turns(worker: _Worker, trouble: Trouble) -> None:
    """Put a needle right: back to the record, or by the hour after the looks that are owed, whichever is quicker."""
    hands, scope, knowledge = worker.hands, worker.scope, worker.knowledge
    if hands.engine.recorded:
        hands.spend("parked", knowledge.preparations["going-back"].minutes)
        hands.go_back()
        _tries(worker)
        return
    if not knowledge.symptoms[worker.symptom].runs:
        return
    found = scope.faults[trouble.fault]
    assert found.screw is not None
    _confirms(worker, sorted(knowledge.first_owed(worker.symptom, scope.engine) - worker.looked), "first")
    _guards(worker)
    for hour in range(MOST_HOURS):
        if hour:
            _confirms(worker, sorted(knowledge.strip_owed(worker.symptom, scope.engine) - worker.looked), "strip")
        if not hands.warm():
            return
        hands.minutes += scope.minutes("needle-step-minutes")
        hands.turn({found.screw: RICHER[str(found.setting)]})
        _tries(worker)
        if not hands.engine.still_wrong(trouble):
            return
