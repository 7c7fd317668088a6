"""What the walk comes to when a person answers truly, and when one answer is wrong or missing."""

from __future__ import annotations

import random
from typing import NamedTuple

from diagnose.graph.model import Knowledge, Variant, fault_of
from diagnose.measure.testability import likeliest
from diagnose.reason import events as ev
from diagnose.reason.play import Made, play, usual
from diagnose.reason.scope import Scope
from diagnose.reason.view import Step
from diagnose.reason.walk import Walk, begin


class Ending(NamedTuple):
    """How one walk ended."""

    outcome: str
    right: bool
    """True when what was wrong was put right."""
    wrong_mends: int
    adjustments: int
    asked: int
    """Checks that were asked, the ones after a mend among them."""
    minutes: float


class Slip(NamedTuple):
    """One answer that is not the true one: the first answer to the `at`-th question of the walk, from 0."""

    at: int
    missing: bool
    """True for "I can't tell"; otherwise another of the check's answers is given."""
    pick: float
    """Which of the others, 0 to 1."""


class Shares(NamedTuple):
    """What many walks of one symptom came to, 0 to 1 each."""

    true_right: float
    """With true answers: the pairs of symptom and fault that ended in the right mend, or turn, and were cured."""
    slip_cured: float
    """With one wrong or missing answer: cured."""
    slip_honest: float
    """The same: cured, or handed over."""


def shares(knowledge: Knowledge, symptom: str, engine: Variant, tries: int = 3, seed: int = 1) -> Shares | None:
    """Walk every form of every fault truly, then `tries` times with one slip at random; None for a door."""
    scope = Scope(knowledge, engine)
    weights = scope.split(knowledge.explaining(symptom, engine), symptom)
    if not weights:
        return None
    chance = random.Random(f"{seed} {symptom}")
    true = {fault: walked(knowledge, symptom, engine, fault, None, scope) for fault in weights}
    slipped = [
        walked(
            knowledge,
            symptom,
            engine,
            fault,
            Slip(chance.randrange(max(end.asked, 1)), chance.random() < 0.5, chance.random()),
            scope,
        )
        for fault, end in true.items()
        for _ in range(tries)
    ]
    return Shares(
        sum(end.right and end.outcome == "cured" for end in true.values()) / len(true),
        sum(end.outcome == "cured" for end in slipped) / len(slipped),
        sum(end.outcome in ("cured", "handed over") for end in slipped) / len(slipped),
    )


def walked(
    knowledge: Knowledge,
    symptom: str,
    engine: Variant,
    fault: str,
    slip: Slip | None = None,
    scope: Scope | None = None,
) -> Ending:
    """Walk to the end with one thing wrong: every check comes out as is likeliest under it, until it is mended.

    `fault` may be a hypothesis: then the fault has that form.
    """
    started = ev.Started(0.0, knowledge.digest, symptom, "", engine, recorded=True)
    walk, minutes = begin(knowledge, started, scope), 0.0
    person = _Person(fault, slip)
    for made in play(walk, person.answer):
        person.did(made)
        walk, minutes = made.walk, made.minutes
    verdict = walk.verdict()
    return Ending(
        "no end" if verdict is None else "cured" if verdict.cured else verdict.outcome,
        person.right,
        sum(name != fault_of(fault) for name in walk.state.mended),
        len(walk.state.adjustments),
        person.asked,
        minutes,
    )


class _Person:
    """Somebody who looks well, and may slip once."""

    def __init__(self, hypothesis: str, slip: Slip | None) -> None:
        self.hypothesis, self.fault, self.slip = hypothesis, fault_of(hypothesis), slip
        self.asked = 0
        self.seen: set[str] = set()
        self.right = False

    def answer(self, walk: Walk, step: Step) -> str:
        """Return what is said to a step."""
        match step.kind:
            case "ask" | "recheck":
                return self._look(walk, step)
            case "retest":
                return "cured" if self.right else "same"
            case _:
                return usual(step)

    def did(self, made: Made) -> None:
        """Note whether what was wrong is right after a step."""
        scope, event = made.walk.scope, made.event
        found = scope.faults[self.fault]
        match event:
            case ev.Mended():
                back = scope.faults[event.fault].mend.back and found.screw is not None
                self.right |= event.fault == self.fault or back
            case ev.Restored():
                self.right |= found.screw in event.screws
            case ev.Adjusted():
                cures = {"rich": "leaner", "lean": "richer"}
                self.right |= found.screw == event.screw and cures.get(found.setting or "") == event.way
            case ev.Undone() if found.turned:
                self.right = False
            case ev.Answered() if event.answer in scope.checks[event.check].answers:
                self.right |= scope.checks[event.check].answers[event.answer].mends == self.fault
            case _:
                pass

    def _look(self, walk: Walk, step: Step) -> str:
        check = walk.scope.checks[step.id]
        true = check.healthy if self.right else likeliest(walk, step.id, self.hypothesis)
        number, self.asked = self.asked, self.asked + 1
        first = step.id not in self.seen
        self.seen.add(step.id)
        if self.slip is None or number != self.slip.at or not first:
            return true
        if self.slip.missing:
            return ev.CANT_TELL
        others = [name for name in check.answers if name != true and not check.answers[name].mends]
        return others[int(self.slip.pick * len(others))] if others else true
