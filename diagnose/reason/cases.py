"""Worked cases: the answers are given beforehand, and the walk is run to its end on a simulated clock."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import isfinite
from typing import Any

import msgspec
from msgspec import Struct

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Case, Fault, Knowledge, Screw, Variant, fault_of
from diagnose.graph.problem import did_you_mean
from diagnose.reason import events as ev
from diagnose.reason.case_names import RETEST, CaseAnswer, several, wrong_names
from diagnose.reason.play import play, seconds, usual
from diagnose.reason.scope import Scope
from diagnose.reason.view import Lock, Step, Verdict
from diagnose.reason.walk import Walk, begin

_HEALED = {"rich": -1, "lean": 1, "open": -1, "shut": 1}
"""Which way, in signed hours, puts a screw's setting right."""


class Done(Struct, frozen=True):
    """One step that was made. `minutes` are its own, `answer` a choice's id or the number read."""

    kind: str
    id: str
    node: str
    answer: CaseAnswer
    minutes: float
    why: str
    symptom: str = ""
    """The symptom whose route it was made on."""
    asks: str = ""
    """What it asks, or says to do, in the words that people read."""
    says: str = ""
    """The answer in those words."""


class CaseRun(Struct, frozen=True):
    """What a case came to. For a walk that was not cured, what was owed and locked when it ended."""

    steps: tuple[Done, ...]
    verdict: Verdict
    minutes: float
    owed: tuple[str, ...]
    """Ids of the checks still owed before a needle may be turned, in the planned order."""
    locked: tuple[Lock, ...]
    belief: dict[str, float]
    """Shares by fault id, likeliest first; ``not listed`` stands for what no file names."""
    adjustments: tuple[ev.Adjusted, ...] = ()


class CaseEngine(Struct, frozen=True):
    """The engine that a case is about: its variant, and what its ledger says of it."""

    variant: Variant = Variant()
    name: str = ""
    recorded: bool = False
    """True when it has recorded settings to go back to."""
    turned: dict[Screw, float] = {}
    """Hours from the last good tune: leaner (or out) negative."""
    started: ev.Started | None = None
    """For a recorded engine: how its walk would start. It brings no answers of today, and counts for all above."""


def inline_engine(written: Mapping[str, Any]) -> CaseEngine:
    """Return the engine that a case describes in place; raises `DiagnoseError`."""
    known = ("needles", "starter", "run in", "air screw", "own", "recorded")
    wrong = [f"an engine has no '{key}'{did_you_mean(key, known)}" for key in written if key not in known]
    if wrong:
        raise DiagnoseError("\n".join(wrong))
    recorded = written.get("recorded", False)
    if not isinstance(recorded, bool):
        raise DiagnoseError("an engine's 'recorded' is true or false")
    try:
        variant = msgspec.convert({key: part for key, part in written.items() if key != "recorded"}, Variant)
    except msgspec.ValidationError as error:
        raise DiagnoseError(f"the engine does not fit: {error}") from error
    if not all(map(isfinite, variant.own.values())):
        raise DiagnoseError("an engine's own facts are numbers")
    return CaseEngine(variant, recorded=recorded)


def run_case(
    knowledge: Knowledge, case: Case, variant: Variant, engine: CaseEngine | None = None, scope: Scope | None = None
) -> CaseRun:
    """Run a case to its verdict; `engine` adds what a recorded engine's ledger says, `scope` is one of that variant.

    Raises `DiagnoseError` naming every symptom, check, answer and fault that does not exist.
    """
    if wrong := list(wrong_names(knowledge, case, variant)):
        raise DiagnoseError("\n".join(wrong))
    known = engine or CaseEngine(variant)
    started = known.started or ev.Started(
        0.0, knowledge.digest, case.symptom, known.name, variant, turned=known.turned, recorded=known.recorded
    )
    started = msgspec.structs.replace(started, at=0.0, symptom=case.symptom, carried=())
    walk = begin(knowledge, started, scope)
    for question, answer in case.history.items():
        walk = walk.plus(walk.tell(question, [answer] if isinstance(answer, str) else answer, 0.0))
    return _Run(case, walk).to_the_end()


def said(step: Step, given: CaseAnswer) -> str:
    """Return an answer in the words that people choose it by; a number with its unit."""
    if isinstance(given, str):
        return next((choice.say for choice in step.choices if choice.id == given), given)
    return f"{given:g} {step.reading.unit if step.reading else '°C'}"


def check_expectation(case: Case, run: CaseRun) -> list[str]:
    """Return a sentence for each thing that did not come out as the case expects."""
    if case.expect is None:
        return []
    found, wanted = run.verdict, case.expect
    wrong = []
    if found.outcome != wanted.verdict:
        wrong.append(f"the verdict is '{found.outcome}' ({found.because}), not '{wanted.verdict}'")
    if found.mended != wanted.mended:
        wrong.append(f"mended: {_listed(found.mended)}; expected: {_listed(wanted.mended)}")
    if found.adjustments != wanted.adjustments:
        wrong.append(f"{found.adjustments} adjustments, not {wanted.adjustments}")
    return wrong


class _Run:
    """One run: the walk so far, the clock, and which answers have been used."""

    def __init__(self, case: Case, walk: Walk) -> None:
        self.case = case
        self.walk = walk
        self.minutes = 0.0
        self.unsaid = ""
        """The step at which the case stops, for want of an answer."""
        self.steps: list[Done] = []
        self.used: dict[str, int] = {}
        self.right_before: dict[str, frozenset[str]] = {}
        """What had been put right when the last of a check's successive answers was first given."""
        self.truth = {
            fault_of(name): hours
            for fault in case.faults or ()
            for name, hours in ({fault: 1.0} if isinstance(fault, str) else fault).items()
        }

    def to_the_end(self) -> CaseRun:
        before = self.walk
        for made in play(self.walk, self._answer):
            step = made.step
            on = made.before.standing.symptom_id
            says = said(step, made.given)
            self.steps.append(Done(step.kind, step.id, step.node, made.given, made.spent, step.why, on, step.ask, says))
            self.walk, self.minutes = made.walk, made.minutes
            before = made.before if isinstance(made.event, (ev.HandedOver, ev.FoundNormal)) else made.walk
        if self.unsaid:
            self.walk = before.plus(ev.Ended(seconds(self.minutes)))
        return self._result(before, f"no answer is given for '{self.unsaid}'" if self.unsaid else "")

    def _result(self, before: Walk, because: str) -> CaseRun:
        """Return what it came to; `before` is the walk before it ended, when something may still be owed."""
        verdict = self.walk.verdict()
        if verdict is None:
            raise RuntimeError(f"the walk of '{self.case.symptom}' has no end after {len(self.steps)} steps")
        if because:
            verdict = msgspec.structs.replace(verdict, because=because)
        seen = before.view(seconds(self.minutes))
        belief = sorted(before.standing.belief.items(), key=lambda pair: (-pair[1], pair[0]))
        return CaseRun(
            steps=tuple(self.steps),
            verdict=verdict,
            minutes=self.minutes,
            owed=tuple(line.check for line in seen.owed),
            locked=seen.locks,
            belief=dict(belief),
            adjustments=tuple(self.walk.state.adjustments),
        )

    def _answer(self, _: Walk, step: Step) -> CaseAnswer | None:
        """Return what the case says to a step; None when it stops there."""
        match step.kind:
            case "ask" | "recheck":
                if (answer := self._look(step.id)) is None:
                    self.unsaid = step.id
                return answer
            case "mend" | "restore" | "adjust" | "prepare":
                return self._successive(step.id, usual(step))
            case "retest":
                cured = all(self._is_right(fault, hours) for fault, hours in self.truth.items())
                return self._successive(RETEST, "cured" if cured else "same")
            case _:
                return usual(step)

    def _successive(self, key: str, otherwise: str) -> CaseAnswer:
        """Return the next of the answers given for `key`; the last one is used again."""
        if key not in self.case.answers:
            return otherwise
        answers = several(self.case.answers[key])
        turn = self.used.get(key, 0)
        self.used[key] = turn + 1
        return answers[min(turn, len(answers) - 1)]

    def _look(self, check: str) -> CaseAnswer | None:
        """Return the answer to a check: it holds until a fault that the check can show is mended.

        A mend of what was not broken changes nothing that a check shows, when the case says what is.
        """
        healthy = self.walk.scope.checks[check].healthy
        if check not in self.case.answers:
            return self._unsaid(check, healthy)
        answers = several(self.case.answers[check])
        last = self.used.get(check, 0) >= len(answers) - 1
        answer = self._successive(check, healthy)
        if not last:
            return answer
        right = self._put_right()
        before = self.right_before.setdefault(check, right if len(answers) > 1 else frozenset())
        return healthy if (right - before) & self._shown_by(check) else answer

    def _unsaid(self, check: str, healthy: str) -> str | None:
        """Return the answer to a check that the case says nothing about."""
        match self.case.otherwise:
            case "stop":
                return None
            case "can't tell":
                return ev.CANT_TELL
            case "healthy":
                swap = self.walk.scope.swaps(check)
                if swap is None or swap not in self.truth or self._is_right(swap, self.truth[swap]):
                    return healthy
                answers = self.walk.scope.checks[check].answers
                return next(name for name, answer in answers.items() if answer.mends)

    def _shown_by(self, check: str) -> frozenset[str]:
        """Return the faults whose mend makes the check healthy: the true ones it names, or else all it can show."""
        true = self.walk.scope.checks[check].named() & self.truth.keys()
        return true or self.walk.scope.clears(check)

    def _put_right(self) -> frozenset[str]:
        right = {fault for fault, hours in self.truth.items() if self._is_right(fault, hours)}
        return frozenset(right | set(self.walk.state.mended))

    def _is_right(self, name: str, hours: float) -> bool:
        """Say whether a fault is mended; a screw also when it was turned far enough, or went back to the record."""
        fault = self.walk.scope.faults[name]
        if name in self.walk.state.mended:
            return True
        if fault.screw is None:
            return False
        return self._went_back(fault.screw) or self._turned(fault) >= hours

    def _went_back(self, screw: Screw) -> bool:
        faults = self.walk.scope.faults
        return any(
            (isinstance(event, ev.Restored) and screw in event.screws)
            or (isinstance(event, ev.Mended) and faults[event.fault].mend.back)
            for event in self.walk.events
        )

    def _turned(self, fault: Fault) -> float:
        """Return the hours that this walk has turned the fault's screw the way that puts it right, undoing counted."""
        assert fault.screw is not None
        before, now = self.walk.started.turned, self.walk.state.turned
        net = now.get(fault.screw, 0.0) - before.get(fault.screw, 0.0)
        return _HEALED.get(str(fault.setting), 0) * net


def _listed(names: Sequence[str]) -> str:
    return ", ".join(names) or "nothing"
