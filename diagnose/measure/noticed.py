"""Who notices that the knowledge was written otherwise: reading, the proof, a worked case, or nobody.

What nobody notices matters when a walk then does something else: another mend or turn, or another end. A new plug that
is tried in a look, and cures, is the same mend as a new plug that is put in. What a walk looks at, and when, is a
judgement that the numbers are there to make; so a look or a preparation that runs the engine at another point is not
seen here, and the rules alone hold it. Whether a walk does something else is seen on a fixed set of walks: the worked
cases, and of each symptom the walk on which all is sound and the one on which nobody can tell anything.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from msgspec.structs import replace

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Fact, Knowledge, Variant
from diagnose.graph.problem import KnowledgeError, Problem
from diagnose.graph.prove import ROOMS
from diagnose.graph.read import FilesRead, changed
from diagnose.graph.routes import prepared
from diagnose.measure.mutants import Mutant
from diagnose.measure.reach import Reach, met, named
from diagnose.measure.worked import Cases
from diagnose.reason import events as ev
from diagnose.reason.cases import CaseRun
from diagnose.reason.play import play, usual
from diagnose.reason.scope import Scope
from diagnose.reason.steps import DONE
from diagnose.reason.view import Step
from diagnose.reason.walk import Walk, begin

Trail = tuple[tuple[str, str, str | float], ...]
"""What a walk did to the car: the kind of each step that is no look, what it was about, and what was answered."""

_LOOKS = frozenset({"ask", "recheck", "retest", "prepare"})


class Noticed(NamedTuple):
    """What became of one change."""

    by: str
    """``reading``, ``proof`` or ``case``; empty when nobody noticed."""
    rule: str
    does: bool
    """True when a walk does something else. What can't be read is not walked, and is not counted as doing anything."""


class Walked(NamedTuple):
    """What one of the walks does."""

    symptom: str
    met: frozenset[str]
    """What it has to do with."""
    trail: Trail


class Watch:
    """The knowledge as it is, with what its walks do."""

    def __init__(self, found: FilesRead) -> None:
        facts = _Read(found.knowledge.facts)
        self.found = found._replace(knowledge=replace(found.knowledge, facts=facts))
        cases = Cases(self.found)
        self.cases: dict[str, Walked] = {}
        known = found.knowledge
        for name, case in found.cases.items():
            list(cases.problems(name))
            if name in cases.runs:
                steps = [(step.kind, step.id, step.answer) for step in cases.runs[name].steps]
                told = {one for said in case.history.values() for one in ([said] if isinstance(said, str) else said)}
                self.cases[name] = Walked(
                    case.symptom, met(known, steps) | told, trail(cases.found.knowledge, cases.runs[name])
                )
        self.plain: dict[tuple[str, bool], Walked] = {}
        scope = Scope(self.found.knowledge, Variant())
        for symptom in known.symptoms:
            for sound in (True, False):
                steps = list(_steps(scope, symptom, sound=sound))
                self.plain[symptom, sound] = Walked(symptom, met(known, steps), _done(known, steps))
        self.reach = Reach(known, facts.read)

    def see(self, mutant: Mutant, *, does: bool = False) -> Noticed:
        """Say who notices a change; `does` wants to know whether it matters, even of what is noticed at once."""
        try:
            read = changed(self.found, mutant.path[0], mutant.path[1], mutant.entry)
        except KnowledgeError as error:
            return Noticed("reading", error.problems[0].rule, False)
        if problem := next(_unproven(read), None):
            return Noticed("proof", problem.rule, does and self._does(read, mutant))
        cases = Cases(read)
        otherwise = False
        for name in self.nearest(mutant):
            try:
                problem = next(cases.problems(name), None)
            except RuntimeError:  # the walk of the case comes to no end any more
                return Noticed("case", name, True)
            if problem:
                return Noticed("case", problem.place.file, True)
            otherwise = otherwise or self.does_otherwise(name, cases)
        return Noticed("", "", otherwise or self._plainly(read, mutant))

    def nearest(self, mutant: Mutant) -> list[str]:
        """Return the cases that the change can reach, those first that have to do with what is changed."""
        reads = self._reader(mutant)
        names = [name for name, walked in self.cases.items() if reads(walked)]
        return sorted(names, key=lambda name: mutant.path[1] not in self.cases[name].met)

    def does_otherwise(self, name: str, cases: Cases) -> bool:
        """Say whether the walk of a case does something else in changed knowledge, where it was run."""
        return name not in cases.runs or trail(cases.found.knowledge, cases.runs[name]) != self.cases[name].trail

    def _reader(self, mutant: Mutant) -> Callable[[Walked], bool]:
        """Return what says whether a walk may read what is changed."""
        symptoms, about = self.reach.reached(mutant.path, mutant.entry), named(mutant.path)
        return lambda walked: walked.symptom in symptoms or not walked.met.isdisjoint(about)

    def _plainly(self, read: FilesRead, mutant: Mutant) -> bool:
        """Say whether one of the walks without a case does something else."""
        scope, reads = Scope(read.knowledge, Variant()), self._reader(mutant)
        return any(
            _done(read.knowledge, _steps(scope, symptom, sound=sound)) != walked.trail
            for (symptom, sound), walked in self.plain.items()
            if reads(walked)
        )

    def _does(self, read: FilesRead, mutant: Mutant) -> bool:
        """Say whether a walk does something else with what was proven to be wrong."""
        cases = Cases(read)
        try:
            for name in self.nearest(mutant):
                list(cases.problems(name))
                if self.does_otherwise(name, cases):
                    return True
            return self._plainly(read, mutant)
        except (DiagnoseError, LookupError, RuntimeError, AssertionError, StopIteration):
            return True  # what is not sound need not be walkable


class _Read(dict[str, Fact]):
    """The facts, with a note of which were read."""

    def __init__(self, facts: Mapping[str, Fact]) -> None:
        super().__init__(facts)
        self.read = set[str]()

    def __getitem__(self, name: str) -> Fact:
        self.read.add(name)
        return super().__getitem__(name)

    def get(self, name: str, default: Any = None) -> Any:
        """Return a fact, and note it."""
        self.read.add(name)
        return super().get(name, default)


def _unproven(read: FilesRead) -> Iterator[Problem]:
    """Yield the problems of the rules, room by room, so that the first is soon found."""
    proof = prepared(read.knowledge, read.places)
    for room in ROOMS:
        yield from room.problems(proof)


def trail(known: Knowledge, run: CaseRun) -> Trail:
    """Return what the walk of a case did to the car, and what it came to."""
    end = ("end", run.verdict.outcome, len(run.adjustments))
    return (*_done(known, ((step.kind, step.id, step.answer) for step in run.steps)), end)


def _done(known: Knowledge, steps: Iterable[tuple[str, str, str | float]]) -> Trail:
    return tuple(deed for step in steps if (deed := _deed(known, *step)) is not None)


def _deed(known: Knowledge, kind: str, name: str, given: str | float) -> tuple[str, str, str | float] | None:
    """Return what a step does to the car; None for a look. A new part that is tried in a look, and cures, is a mend."""
    if kind not in _LOOKS:
        return kind, name, given
    answer = known.checks[name].answers.get(str(given)) if kind in ("ask", "recheck") else None
    return ("mend", answer.mends, DONE) if answer is not None and answer.mends else None


def _steps(scope: Scope, symptom: str, *, sound: bool) -> Iterator[tuple[str, str, str | float]]:
    """Yield the steps of the walk of a symptom on which all is sound, or of the one on which nobody can tell."""

    def answer(at: Walk, step: Step) -> str:
        match step.kind:
            case "ask" | "recheck":
                return at.scope.checks[step.id].healthy if sound else ev.CANT_TELL
            case "retest":
                return "same"
            case _:
                return usual(step)

    known = scope.knowledge
    started = ev.Started(0.0, known.digest, symptom, "", scope.engine, recorded=True)
    for made in play(begin(known, started, scope), answer):
        yield made.step.kind, made.step.id, made.given
