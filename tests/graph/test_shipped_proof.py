"""The shipped knowledge is proven, and the proof notices each look that is taken away from it."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from msgspec.structs import replace
from shipped import load

import diagnose
from diagnose.graph import safety
from diagnose.graph.loose_ends import PROGRAM_FACTS
from diagnose.graph.model import Adjust, Check, Knowledge, Sweep, fault_of
from diagnose.graph.problem import Place
from diagnose.graph.prove import prove
from diagnose.graph.routes import prepared

RULE = "first-look-before-adjustment"


@cache
def shipped() -> Knowledge:
    return load()


@cache
def owed() -> dict[str, frozenset[str]]:
    """Return the faults that each symptom with an adjustment owes a first look on some engine."""
    found: dict[str, frozenset[str]] = {}
    for route in prepared(shipped(), {}).routes:
        if route.each(Adjust):
            found[route.name] = found.get(route.name, frozenset()) | route.owed["first"]
    return found


def blind_to(check: Check, fault: str) -> Check:
    """Return a check that says nothing about a fault."""
    answers = {
        name: replace(answer, given={f: p for f, p in answer.given.items() if fault_of(f) != fault})
        for name, answer in check.answers.items()
    }
    return replace(check, answers=answers)


def without_looks_for(fault: str) -> Knowledge:
    """Return the shipped knowledge in which no first look can show a fault."""
    known = shipped()
    checks = {
        name: blind_to(check, fault) if check.look == "first" and fault in known.shown_by(check) else check
        for name, check in known.checks.items()
    }
    return replace(known, checks=checks)


def without_sweeps_of(area: str) -> Knowledge:
    """Return the shipped knowledge in which no first sweep names an area."""
    known = shipped()
    symptoms = {}
    for name, symptom in known.symptoms.items():
        route = {
            title: replace(node, sweep=tuple(a for a in node.sweep if a != area))
            if isinstance(node, Sweep) and node.look == "first"
            else node
            for title, node in symptom.route.items()
        }
        symptoms[name] = replace(symptom, route=route)
    return replace(known, symptoms=symptoms)


def unseen(known: Knowledge) -> Iterator[tuple[str, str]]:
    """Yield the symptoms and faults of which the proof says that an adjustment does not wait for a look."""
    places = {("symptoms", name): Place(name, 1, 1) for name in known.symptoms}
    for problem in safety.problems(prepared(known, places)):
        if problem.rule == RULE:
            yield from ((problem.place.file, fault) for fault in known.faults if f"'{fault}'" in problem.what)


def test_the_shipped_knowledge_is_proven() -> None:
    assert prove(shipped(), {}) == []


def test_some_symptoms_lead_to_a_needle_and_owe_many_looks() -> None:
    assert len(owed()) >= 3
    assert all(len(faults) >= 5 for faults in owed().values())


@pytest.mark.slow
def test_the_proof_notices_each_fault_whose_last_first_look_is_taken_away() -> None:
    wanted: dict[str, set[str]] = {}
    for symptom, faults in owed().items():
        for fault in faults:
            wanted.setdefault(fault, set()).add(symptom)
    for fault, symptoms in wanted.items():
        missed = {symptom for symptom, unlooked in unseen(without_looks_for(fault)) if unlooked == fault}
        assert missed == symptoms, fault


@pytest.mark.slow
def test_the_proof_notices_each_fault_whose_area_is_swept_no_more() -> None:
    faults = shipped().faults
    for area in sorted({fault.area for fault in faults.values()}):
        wanted = {(s, f) for s, owing in owed().items() for f in owing if faults[f].area == area}
        assert set(unseen(without_sweeps_of(area))) == wanted, area


MILD = "cold-air"
"""A look is called like it. A day that was noted answers the look; where there is no such fact, nobody misses it."""


def test_the_facts_that_the_program_reads_by_itself_are_those_it_says() -> None:
    folder = Path(diagnose.__file__).parent
    says_so, gives_examples = "loose_ends.py", "say.py"
    apart = {says_so, gives_examples, "practice"}  # the simulated engine has checks that are called like facts
    sources = [path for path in folder.rglob("*.py") if not apart & {path.name, path.parent.name}]
    code = "\n".join(path.read_text(encoding="utf-8") for path in sources)
    read = {name for name in shipped().facts if f'"{name}"' in code or f"<{name}>" in code}
    assert {name for name in read if shipped().facts[name].unit not in ("min", "turns")} == PROGRAM_FACTS | {MILD}


@pytest.mark.parametrize("kind", ["checks", "symptoms"])
def test_what_is_taken_away_is_taken_away(kind: str) -> None:
    known = shipped()
    fault = next(iter(next(iter(owed().values()))))
    less = without_looks_for(fault) if kind == "checks" else without_sweeps_of(known.faults[fault].area)
    assert getattr(less, kind) != getattr(known, kind)
