"""How well the knowledge can tell faults apart: the figures that are reported beside the proof.

Definitions (IEEE 1522-2004 as mapped by a maintenance tool's public help, see docs/reasoning.md): P is a fault's
weight, FG an ambiguity group, the faults that look the same to the checks made.

    FFD     = Σ P(detected) / Σ P
    FFI(L)  = Σ over |FG| ≤ L of P(FG) / P(detected)
    size    = Σ |FG| · P(FG) / P(detected)
    minutes = Σ P · minutes to the mend
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping

from msgspec import Struct

from diagnose.graph.model import Knowledge, Variant, fault_of
from diagnose.reason import events as ev
from diagnose.reason.explain import minutes_left, owed_plan
from diagnose.reason.play import play, usual
from diagnose.reason.scope import Scope
from diagnose.reason.view import Step
from diagnose.reason.walk import Walk, begin


class Fractions(Struct, frozen=True):
    """What a set of signatures comes to."""

    detected: float
    isolated_one: float
    isolated_two: float
    group_size: float


class Testability(Struct, frozen=True):
    """The figures of one symptom on one engine. Minutes are minutes."""

    __test__ = False

    symptom: str
    detected: float
    isolated_one: float
    isolated_two: float
    group_size: float
    minutes: float
    owed_minutes: float


def fractions(weights: Mapping[str, float], signatures: Mapping[str, Hashable], silent: Hashable = None) -> Fractions:
    """Return the fractions detected and isolated; a fault whose signature is `silent` is not detected."""
    groups: dict[Hashable, list[str]] = {}
    for fault in weights:
        if signatures[fault] != silent:
            groups.setdefault(signatures[fault], []).append(fault)
    mass = {key: sum(weights[fault] for fault in faults) for key, faults in groups.items()}
    detected = sum(mass.values())
    if not detected:
        return Fractions(0.0, 0.0, 0.0, 0.0)

    def isolated(most: int) -> float:
        return sum(mass[key] for key, faults in groups.items() if len(faults) <= most) / detected

    size = sum(len(faults) * mass[key] for key, faults in groups.items()) / detected
    return Fractions(detected / sum(weights.values()), isolated(1), isolated(2), size)


def measure(knowledge: Knowledge, symptom: str, engine: Variant) -> Testability | None:
    """Walk every fault of the symptom, in each of its forms, with truthful answers; None for a door."""
    scope = Scope(knowledge, engine)
    weights = scope.split(knowledge.explaining(symptom, engine), symptom)
    if not weights:
        return None
    ends = {one: _walked(knowledge, symptom, engine, one) for one in weights}
    merged = _merged(knowledge, weights, {one: end[0] for one, end in ends.items()})
    found = fractions(merged, {one: ends[one][0] for one in merged})
    total = sum(weights.values())
    minutes = sum(weight * ends[one][1] for one, weight in weights.items()) / total
    owed = owed_minutes(knowledge, symptom, engine)
    return Testability(symptom, found.detected, found.isolated_one, found.isolated_two, found.group_size, minutes, owed)


def _merged(knowledge: Knowledge, weights: Mapping[str, float], signatures: Mapping[str, Hashable]) -> dict[str, float]:
    """Count what looks the same and has a mend of the same text as one, with the weights together."""
    alike: dict[Hashable, str] = {}
    merged: dict[str, float] = {}
    for one, weight in weights.items():
        first = alike.setdefault((knowledge.faults[fault_of(one)].mend.do, signatures[one]), one)
        merged[first] = merged.get(first, 0.0) + weight
    return merged


def _walked(knowledge: Knowledge, symptom: str, engine: Variant, hypothesis: str) -> tuple[Hashable, float]:
    """Walk with the likeliest answers under one hypothesis; return what was seen by its mend, and the minutes.

    The signature is None when the walk ends without the fault's mend or, for a screw, without its adjustment.
    """
    fault = fault_of(hypothesis)
    seen: list[tuple[str, str]] = []
    first_mend: Hashable = None
    minutes = 0.0

    def answer(walk: Walk, step: Step) -> str | None:
        match step.kind:
            case "ask" | "recheck":
                return likeliest(walk, step.id, hypothesis)
            case "retest":
                return "same"
            case "refer":
                return None
            case _:
                return usual(step)

    walk = begin(knowledge, ev.Started(0.0, knowledge.digest, symptom, "", engine, recorded=True))
    for made in play(walk, answer):
        step, minutes = made.step, made.minutes
        if step.kind in ("ask", "recheck"):
            seen.append((step.id, str(made.given)))
            if made.walk.scope.checks[step.id].answers[str(made.given)].mends == fault:
                return first_mend or tuple(sorted(seen)), minutes
        elif step.kind in ("mend", "restore", "adjust"):
            first_mend = first_mend or tuple(sorted(seen))
            if step.id == fault or _turns(made.walk, step.id, fault):
                return first_mend, minutes
    return None, minutes


def _turns(walk: Walk, step: str, fault: str) -> bool:
    """Say whether the step puts right the screw that the fault is about."""
    found = walk.scope.faults[fault]
    if not found.turned:
        return found.mend.back and step in walk.knowledge.preparations
    return found.screw == step or step in walk.knowledge.preparations


def likeliest(walk: Walk, check: str, hypothesis: str) -> str:
    """Return the answer that a check gives most often under a hypothesis, the healthy one where two are as likely."""
    answers = walk.scope.checks[check].answers
    # a fault that was mended wrongly does not heal the engine: the truth stays the same throughout
    return max(answers, key=lambda answer: (walk.scope.answer(check, answer).of(hypothesis), answers[answer].healthy))


def owed_minutes(knowledge: Knowledge, symptom: str, engine: Variant) -> float:
    """Return the minutes of all first looks owed before an adjustment, till the car stands closed up again."""
    walk = begin(knowledge, ev.Started(0.0, knowledge.digest, symptom, "", engine))
    return minutes_left(walk, owed_plan(walk))
