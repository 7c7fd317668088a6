"""What is known, as frozen values: symptoms, checks, faults, routes, and the engine that they are asked about.

The field names are the words of the YAML files (``good for`` is ``good_for`` here). Minutes are minutes, weights are
1 to 10, probabilities are 0 to 1. Nothing in this module reads a file or knows a clock.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import msgspec
from msgspec import Struct

from diagnose.graph.model.base import (
    FORMAT,
    RUNNING,
    BenchState,
    EngineState,
    Guard,
    LookKind,
    Number,
    Only,
    Screw,
    Short,
    Starter,
    Steps,
    Text,
    Variant,
    Way,
    Work,
    every_variant,
    signed,
)
from diagnose.graph.model.bench import CLOSE, BenchMinutes, Opening, Preparation
from diagnose.graph.model.check import CAN_SHOW_AT_LEAST, Answer, Check, Reading, well_shown
from diagnose.graph.model.club import Club
from diagnose.graph.model.failing import EnginePart, Failing
from diagnose.graph.model.fault import Fault, Mend
from diagnose.graph.model.form import OWED_SHARE, WHOLE, Condition, Form, fault_of, with_faults
from diagnose.graph.model.history import Memory, Question
from diagnose.graph.model.presumption import Presumption
from diagnose.graph.model.round import Round
from diagnose.graph.model.shelf import LEVELS, Alike, Always, Caution, Drawing, Fact, Owed, StartSettings, Word
from diagnose.graph.model.simulated import Exceptions, SimulatedCheck, SimulatedFault
from diagnose.graph.model.symptom import NODE_KINDS, Adjust, Ask, Follow, Node, Prepare, Refer, Sweep, Symptom, exits
from diagnose.graph.model.worked import BOTH_GUARDS, NOTHING_RUNS, Case, LastQuestion, Lesson, Reply

__all__ = [
    "BOTH_GUARDS",
    "CAN_SHOW_AT_LEAST",
    "CASES",
    "CLOSE",
    "FORMAT",
    "KINDS",
    "NODE_KINDS",
    "NOTHING_RUNS",
    "OWED_SHARE",
    "RUNNING",
    "WHOLE",
    "Adjust",
    "Alike",
    "Always",
    "Answer",
    "Ask",
    "BenchMinutes",
    "BenchState",
    "Case",
    "Caution",
    "Check",
    "Club",
    "Condition",
    "Drawing",
    "EnginePart",
    "EngineState",
    "Exceptions",
    "Fact",
    "Failing",
    "Fault",
    "Follow",
    "Form",
    "Guard",
    "Knowledge",
    "LastQuestion",
    "Lesson",
    "LookKind",
    "Memory",
    "Mend",
    "Node",
    "Number",
    "Only",
    "Opening",
    "Owed",
    "Preparation",
    "Prepare",
    "Presumption",
    "Question",
    "Reading",
    "Refer",
    "Reply",
    "Round",
    "Screw",
    "Short",
    "SimulatedCheck",
    "SimulatedFault",
    "StartSettings",
    "Starter",
    "Steps",
    "Sweep",
    "Symptom",
    "Text",
    "Variant",
    "Way",
    "Word",
    "Work",
    "decode",
    "encode",
    "every_variant",
    "exits",
    "fault_of",
    "signed",
    "well_shown",
    "with_faults",
]

KINDS: dict[str, type[Any]] = {
    "symptoms": Symptom,
    "checks": Check,
    "faults": Fault,
    "preparations": Preparation,
    "rounds": Round,
    "history": Question,
    "bench": BenchMinutes,
    "conditions": Condition,
    "openings": Opening,
    "always": Always,
    "facts": Fact,
    "words": Word,
    "alike": Alike,
    "cautions": Caution,
    "drawings": Drawing,
    "engines": StartSettings,
    "club": Club,
    "lessons": Lesson,
    "parts": EnginePart,
    "failings": Failing,
    "simulated_faults": SimulatedFault,
    "simulated_checks": SimulatedCheck,
    "simulated_exceptions": Exceptions,
}
"""The kinds of file: a folder of that name, or one file ``<kind>.yaml``; ``_`` stands for a folder in a folder."""

CASES = "cases"
"""The folder of the worked cases: one file each, read only to prove the knowledge and to write more of it."""


class Knowledge(Struct, frozen=True):
    """Everything that the files say, with every number in its place and every name known to exist."""

    symptoms: dict[str, Symptom] = {}
    checks: dict[str, Check] = {}
    faults: dict[str, Fault] = {}
    preparations: dict[str, Preparation] = {}
    rounds: dict[str, Round] = {}
    history: dict[str, Question] = {}
    bench: dict[str, BenchMinutes] = {}
    conditions: dict[str, Condition] = {}
    openings: dict[str, Opening] = {}
    always: dict[str, Always] = {}
    facts: dict[str, Fact] = {}
    words: dict[str, Word] = {}
    alike: dict[str, Alike] = {}
    cautions: dict[str, Caution] = {}
    drawings: dict[str, Drawing] = {}
    engines: dict[str, StartSettings] = {}
    club: dict[str, Club] = {}
    lessons: dict[str, Lesson] = {}
    parts: dict[str, EnginePart] = {}
    failings: dict[str, Failing] = {}
    simulated_faults: dict[str, SimulatedFault] = {}
    simulated_checks: dict[str, SimulatedCheck] = {}
    simulated_exceptions: dict[str, Exceptions] = {}
    digest: str = ""
    bare: tuple[str, ...] = ()
    """Places of numbers that no fact stands behind: the author's own judgement."""
    fewer: tuple[str, ...] = ()
    """Faults that the shipped knowledge looks for and this, with its overlays, does not."""

    @property
    def early(self) -> dict[str, str]:
        """Return the looks that a club makes first in every walk that they can show anything in, each with why."""
        return {name: club.because or club.name for club in self.club.values() for name in club.look_early}

    @property
    def elevation(self) -> float | None:
        """Return the elevation of the club's track in m, None where no club says it."""
        return next((club.elevation for club in self.club.values() if club.elevation is not None), None)

    def explaining(self, symptom: str, engine: Variant) -> dict[str, float]:
        """Return the faults that explain `symptom` on `engine`, with their weights."""
        return {
            name: fault.explains[symptom]
            for name, fault in self.faults.items()
            if symptom in fault.explains and fault.only.fits(engine)
        }

    def checks_for(self, engine: Variant) -> dict[str, Check]:
        """Return the checks that can be made on `engine`."""
        return {name: check for name, check in self.checks.items() if check.only.fits(engine)}

    def senseless(self, check: Check, symptom: str) -> frozenset[Presumption]:
        """Return what a check presumes and `symptom` excludes: where there is any, it makes no sense to ask."""
        return self.symptoms[symptom].excluded.intersection(check.presumed)

    def worst_first(self, cautions: Iterable[str]) -> tuple[str, ...]:
        """Return hazards by their level, the worst first, and as the files have them within it."""
        order = {name: (LEVELS.index(one.level), number) for number, (name, one) in enumerate(self.cautions.items())}
        return tuple(sorted(dict.fromkeys(cautions), key=order.__getitem__))

    def first_owed(self, symptom: str, engine: Variant) -> frozenset[str]:
        """Return the mechanical faults whose first look is owed before any adjustment (M1, and those always owed)."""
        return frozenset(
            name
            for name, fault in self.faults.items()
            if fault.mechanical
            and fault.only.fits(engine)
            and (fault.first_look == "always" or (fault.first_look == "owed" and symptom in fault.explains))
        )

    def strip_owed(self, symptom: str, engine: Variant) -> frozenset[str]:
        """Return the mechanical faults that only a strip-down looks for (M2)."""
        return frozenset(
            name
            for name, fault in self.faults.items()
            if fault.mechanical and fault.only.fits(engine) and fault.first_look == "none" and symptom in fault.explains
        )

    def guarded_areas(self) -> frozenset[str]:
        """Return the areas that the guards look at: a mend that touches one makes both owed again."""
        guards = [check for check in self.checks.values() if check.guard]
        faults = ((name, fault) for name, fault in self.faults.items() if fault.mechanical)
        shown = frozenset[str]().union(*map(self.shown_by, guards))
        return frozenset(fault.area for name, fault in faults if name in shown)

    def conditions_of(self, check: Check) -> frozenset[str]:
        """Return the conditions that a look is made under. What is remembered was seen under all of them."""
        if check.remembered:
            return frozenset(self.conditions)
        if check.under is not None:
            return frozenset(check.under)
        return frozenset(name for name, condition in self.conditions.items() if check.state in condition.states)

    def hypotheses(self, fault: str) -> dict[str, Form]:
        """Return the forms of a fault by hypothesis."""
        found = self.faults.get(fault)
        return {fault: WHOLE} if found is None else found.hypotheses(fault)

    def chances(self, asked: Check, name: str | None) -> dict[str, float]:
        """Return P(each answer | fault, or hypothesis); `None` stands for any fault that is not named.

        A form that does not show under the conditions of the look looks like any other fault. A fault that is there in
        several forms looks like each as often as it takes that form.
        """
        if name is None:
            return asked.chances(None)
        forms = self.hypotheses(fault_of(name))
        if name in forms:
            when = forms[name].when
            hidden = when and not self.conditions_of(asked).issuperset(when)
            return asked.chances(None if hidden else name)
        mixed = dict.fromkeys(asked.answers, 0.0)
        for hypothesis, form in forms.items():
            for answer, chance in self.chances(asked, hypothesis).items():
                mixed[answer] += form.share * chance
        return mixed

    def shown_by(self, check: Check) -> frozenset[str]:
        """Return the hypotheses that a look can show, and the faults of which these are half or more."""
        healthy, otherwise = check.healthy, check.shows(None)
        forms = {one: form for fault in check.named() for one, form in self.hypotheses(fault).items()}
        shown = {one: 1 - self.chances(check, one)[healthy] for one in forms}
        return with_faults({one: forms[one].share for one in forms if well_shown(shown[one], otherwise)})

    def number(self, ref: float | str, engine: Variant) -> float:
        """Return a band's edge: a number, the engine's own value of a fact, or the fact's."""
        if isinstance(ref, (int, float)):
            return float(ref)
        if ref in engine.own:
            return engine.own[ref]
        value = self.facts[ref].value
        assert value is not None  # the reader has seen to it
        return value

    def band(self, check: Check, value: float, engine: Variant) -> str:
        """Return the answer whose band holds `value`, a reading in the check's unit."""
        for name, answer in check.answers.items():
            if answer.up_to is None or value < self.number(answer.up_to, engine):
                return name
        return next(reversed(check.answers))


def encode(knowledge: Knowledge) -> bytes:
    """Pack the knowledge for the cache."""
    return msgspec.msgpack.encode(knowledge)


def decode(packed: bytes) -> Knowledge:
    """Unpack what `encode` packed; raises `msgspec.MsgspecError` on anything else."""
    return msgspec.msgpack.decode(packed, type=Knowledge)
