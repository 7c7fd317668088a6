"""Who notices that the knowledge was written otherwise: reading, the proof, a worked case, or nobody.

What nobody notices matters when a walk then does something else: another mend or turn, or another end. What it looks
at, and when, is a judgement that the numbers are there to make; so a look or a preparation that runs the engine at
another point is not seen here, and the rules alone hold it. Whether a walk does something else is seen on a fixed set
of walks: the worked cases, and of each symptom the walk on which all is sound and the one on which nobody can tell
anything.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Ask, Knowledge, Symptom, Variant, exits
from diagnose.graph.problem import KnowledgeError, Problem
from diagnose.graph.prove import ROOMS
from diagnose.graph.read import FilesRead, changed
from diagnose.graph.routes import prepared
from diagnose.measure.mutants import Mutant
from diagnose.measure.worked import Cases
from diagnose.reason import events as ev
from diagnose.reason.cases import CaseRun
from diagnose.reason.play import play, usual
from diagnose.reason.scope import Scope
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


class Watch:
    """The knowledge as it is, with what its walks do."""

    def __init__(self, found: FilesRead) -> None:
        self.found = found
        cases = Cases(found)
        self.trails: dict[str, Trail] = {}
        """What each worked case does."""
        self.visits: dict[str, frozenset[str]] = {}
        """What each has to do with: its symptom, its faults, and what was believed at its end."""
        for name, case in found.cases.items():
            list(cases.problems(name))
            if name in cases.runs:
                self.trails[name] = _trail(cases.runs[name])
                about = {step.id for step in cases.runs[name].steps}
                self.visits[name] = frozenset(about | {case.symptom} | set(cases.runs[name].belief))
        self.plain = dict(_plain(found.knowledge, found.knowledge.symptoms))
        self.leads = {name: _reached(found.knowledge, name) for name in found.knowledge.symptoms}
        """The symptoms that a walk of each may come to."""

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
        for name in self._nearest(mutant):
            try:
                problem = next(cases.problems(name), None)
            except RuntimeError:  # the walk of the case comes to no end any more
                return Noticed("case", name, True)
            if problem:
                return Noticed("case", problem.place.file, True)
            otherwise = otherwise or _trail(cases.runs[name]) != self.trails[name]
        return Noticed("", "", otherwise or self._plainly(read, mutant))

    def _nearest(self, mutant: Mutant) -> list[str]:
        """Return the cases that the change can reach, those first that have to do with what is changed."""
        reached = self._symptoms(mutant)
        names = [name for name in self.trails if self.found.cases[name].symptom in reached]
        return sorted(names, key=lambda name: mutant.path[1] not in self.visits[name])

    def _symptoms(self, mutant: Mutant) -> frozenset[str]:
        """Return the symptoms whose walks a change can reach."""
        kind, name = mutant.path[:2]
        known, about = self.found.knowledge, set[str]()
        if kind == "symptoms":
            about = {name}
        elif kind == "faults" and known.faults[name].first_look != "always":
            about = set(known.faults[name].explains) | set(mutant.entry.get("explains", ()))
        elif kind == "checks" and not known.checks[name].guard:
            named = [known.faults[fault].explains for fault in known.checks[name].named()]
            about = {symptom for explains in named for symptom in explains}
            about |= {one for one, found in known.symptoms.items() if _asks(found, name)}
        return frozenset(one for one, there in self.leads.items() if not about or there & about)

    def _plainly(self, read: FilesRead, mutant: Mutant) -> bool:
        """Say whether one of the walks without a case does something else."""
        made = _plain(read.knowledge, self._symptoms(mutant))
        return any(self.plain[key] != trail for key, trail in made)

    def _does(self, read: FilesRead, mutant: Mutant) -> bool:
        """Say whether a walk does something else with what was proven to be wrong."""
        cases = Cases(read)
        try:
            for name in self._nearest(mutant):
                list(cases.problems(name))
                if name not in cases.runs or _trail(cases.runs[name]) != self.trails[name]:
                    return True
            return self._plainly(read, mutant)
        except (DiagnoseError, LookupError, RuntimeError, AssertionError, StopIteration):
            return True  # what is not sound need not be walkable


def _unproven(read: FilesRead) -> Iterator[Problem]:
    """Yield the problems of the rules, room by room, so that the first is soon found."""
    proof = prepared(read.knowledge, read.places)
    for room in ROOMS:
        yield from room.problems(proof)


def _trail(run: CaseRun) -> Trail:
    end = ("end", run.verdict.outcome, len(run.adjustments))
    return (*((step.kind, step.id, step.answer) for step in run.steps if step.kind not in _LOOKS), end)


def _asks(symptom: Symptom, check: str) -> bool:
    return any(isinstance(node, Ask) and node.ask == check for node in symptom.route.values())


def _reached(known: Knowledge, symptom: str) -> frozenset[str]:
    """Return the symptoms that a walk of `symptom` may come to, itself among them."""
    reached, waiting = set[str](), [symptom]
    while waiting:
        if (here := waiting.pop()) not in reached:
            reached.add(here)
            nodes = known.symptoms[here].route.values()
            waiting += [there for node in nodes for there in exits(node).values() if there in known.symptoms]
    return frozenset(reached)


def _plain(known: Knowledge, symptoms: Iterable[str]) -> Iterator[tuple[tuple[str, bool], Trail]]:
    """Yield the walk of each symptom on which all is sound, and the one on which nobody can tell."""
    engine = Variant()
    scope = Scope(known, engine)
    for symptom in symptoms:
        for sound in (True, False):
            started = ev.Started(0.0, known.digest, symptom, "", engine, recorded=True)
            yield (symptom, sound), tuple(_steps(begin(known, started, scope), sound=sound))


def _steps(walk: Walk, *, sound: bool) -> Iterator[tuple[str, str, str | float]]:
    def answer(at: Walk, step: Step) -> str:
        match step.kind:
            case "ask" | "recheck":
                return at.scope.checks[step.id].healthy if sound else ev.CANT_TELL
            case "retest":
                return "same"
            case _:
                return usual(step)

    for made in play(walk, answer):
        if made.step.kind not in _LOOKS:
            yield made.step.kind, made.step.id, made.given
