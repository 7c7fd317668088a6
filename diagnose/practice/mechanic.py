"""A mechanic who knows what is wrong and keeps the rules: what the minutes of everybody else are held against.

He makes one look that confirms it, the guards before the engine runs, the first looks owed when a needle is to be
turned (or goes back to the record, if that is quicker), mends, and tries again.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from diagnose.graph.model import RUNNING, Fault, Knowledge, Screw
from diagnose.practice import symptoms
from diagnose.practice.drive import Drive
from diagnose.practice.engine import MadeWrong, SimEngine
from diagnose.practice.hands import Hands
from diagnose.reason import order, planner
from diagnose.reason.scope import Scope

HOURS_TRIED = 2
RICHER = {"lean": 1.0, "rich": -1.0}
USUAL_ORDER: tuple[Screw, ...] = ("high needle", "low needle", "mid needle", "idle stop")
"""In which order screws are set: the top feeds the bottom, which moves the idle. Common practice, no source."""


def plain_symptom(engine: SimEngine) -> SimEngine:
    """Return the engine with a door's complaint told plainly: others than the program are spared its questions."""
    if engine.complaint != symptoms.DOOR:
        return engine
    found = symptoms.strengths(engine.state)
    return replace(engine, complaint=max(sorted(symptoms.STARTING), key=lambda name: found[name]))


class Worker:
    """Somebody at work who does not follow the program: his hands, and what he has seen to."""

    def __init__(self, engine: SimEngine, knowledge: Knowledge, scope: Scope) -> None:
        self.hands = Hands(plain_symptom(engine), scope)
        self.knowledge, self.scope = knowledge, scope
        self.looked: set[str] = set()
        self.guarded: set[str] = set()

    @property
    def symptom(self) -> str:
        """What is complained of now."""
        return self.hands.complaints[-1]

    def ended(self, verdict: str) -> Drive:
        """Return what it came to."""
        hands = self.hands
        cured = verdict == "cured" and not hands.wrong()
        return Drive(hands.engine, verdict, "", cured, hands.minutes, tuple(hands.changes))


def all_knowing(engine: SimEngine, knowledge: Knowledge, scope: Scope) -> Drive:
    """Put right what is wrong and nothing else, by the rules."""
    worker = Worker(engine, knowledge, scope)
    hands = worker.hands
    for trouble in sorted(engine.troubles, key=lambda trouble: _place(knowledge.faults[trouble.fault])):
        if not hands.engine.still_wrong(trouble):
            continue
        if knowledge.faults[trouble.fault].turned:
            _turns(worker, trouble)
            continue
        _confirms(worker, [trouble.fault])
        hands.mend(trouble.fault)
        _tries(worker)
    return worker.ended("cured" if hands.strength() < 1 else "handed over")


def _place(fault: Fault) -> int:
    """Return when it is put right: what is mechanical first, then the screws in the usual order."""
    return USUAL_ORDER.index(fault.screw) + 1 if fault.screw else 0


def _confirms(worker: Worker, faults: Sequence[str], look: str = "") -> None:
    """Make the quickest looks that show these faults, in the best order; all come out as they must."""
    scope, hands = worker.scope, worker.hands
    looks = [
        order.PlannedLook(n, c.minutes, c.state, scope.shown(n).named, scope.shown(n).otherwise, scope.clears(n))
        for n, c in scope.checks.items()
        if look in ("", c.look) and scope.clears(n) & set(faults)
    ]
    if len(faults) == 1 and looks:
        chosen = [min(looks, key=lambda one: (one.minutes + scope.change(hands.bench, one.state), one.id))]
    else:
        even = dict.fromkeys(faults, 1 / max(len(faults), 1))
        chosen = list(planner.plan(looks, order.Prospect(even, frozenset(faults), hands.bench, scope.change)))
    for one in chosen:
        if scope.checks[one.id].runs:
            _guards(worker)
        hands.count(one.id)
        worker.guarded.update({one.id} & set(scope.guards))
        worker.looked |= one.clears


def _guards(worker: Worker) -> None:
    for guard in worker.scope.guards:
        if guard not in worker.guarded:
            worker.guarded.add(guard)
            worker.hands.count(guard)


def _tries(worker: Worker) -> None:
    if worker.knowledge.symptoms[worker.symptom].retest.state in RUNNING:
        _guards(worker)
    worker.hands.try_again()


def _turns(worker: Worker, trouble: MadeWrong) -> None:
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
    for hour in range(HOURS_TRIED):
        if hour:
            _confirms(worker, sorted(knowledge.strip_owed(worker.symptom, scope.engine) - worker.looked), "strip")
        if not hands.warm():
            return
        hands.minutes += scope.minutes("needle-step-minutes")
        hands.turn({found.screw: RICHER[str(found.setting)]})
        _tries(worker)
        if not hands.engine.still_wrong(trouble):
            return
