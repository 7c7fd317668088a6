"""The knowledge as it applies to one engine, with its probabilities laid out for speed."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping
from functools import cached_property
from typing import NamedTuple

from diagnose.graph.model import (
    RUNNING,
    WHOLE,
    Check,
    Fault,
    Form,
    Knowledge,
    Screw,
    Variant,
    fault_of,
    well_shown,
    with_faults,
)
from diagnose.graph.model.parts import SCREWS
from diagnose.reason.events import Drift
from diagnose.reason.order import PlannedLook, RoundLine

COOLING = "cooling"


class Likelihood(NamedTuple):
    """P(one answer | each fault): the faults named, each of their hypotheses, and any other."""

    named: dict[str, float]
    otherwise: float

    def of(self, fault: str) -> float:
        """Return P(answer | fault, or hypothesis)."""
        return self.named.get(fault, self.otherwise)


READ = 120.0
"""Words a minute of what the hands do, for who reads it for the first time with the car at hand."""


class Scope:
    """What can be wrong with one engine, what can be looked at, and how far each look can be believed."""

    def __init__(self, knowledge: Knowledge, engine: Variant, *, led: bool = False) -> None:
        self.knowledge = knowledge
        self.engine = engine
        self.led = led
        """One thing is shown at a time: each look has to be read first, and no round makes several quicker."""
        self.faults: dict[str, Fault] = {i: f for i, f in knowledge.faults.items() if f.only.fits(engine)}
        self.forms: dict[str, dict[str, Form]] = {i: f.hypotheses(i) for i, f in self.faults.items() if f.forms}
        """The hypotheses of each fault that takes several forms."""
        self.checks: dict[str, Check] = knowledge.checks_for(engine)
        self._answers: dict[tuple[str, str], Likelihood] = {}
        self._shown: dict[str, Likelihood] = {}
        self._clears: dict[str, frozenset[str]] = {}
        self._shares: dict[tuple[str, str], dict[str, float]] = {}
        self._first_owed: dict[str, frozenset[str]] = {}
        self._planned_looks: dict[str, PlannedLook] = {}
        self._told: dict[tuple[str, frozenset[str]], Likelihood] = {}
        self._explaining: dict[str, dict[str, float]] = {}
        self._sensible: dict[str, frozenset[str]] = {}
        self.planned: dict[Hashable, tuple[PlannedLook, ...]] = {}
        """Orders that were planned already, by everything that they depend on."""

    def explaining(self, symptom: str) -> dict[str, float]:
        """Return the faults that explain a symptom on this engine, with their weights."""
        if symptom not in self._explaining:
            self._explaining[symptom] = self.knowledge.explaining(symptom, self.engine)
        return self._explaining[symptom]

    def hypotheses(self, fault: str) -> Iterable[str]:
        """Return the hypotheses of a fault: its forms, or itself."""
        return self.forms.get(fault) or (fault,)

    def shares(self, fault: str, symptom: str) -> dict[str, float]:
        """Return the hypotheses of a fault with their shares: of the forms that show where the symptom does."""
        if fault not in self.forms:
            return {fault: 1.0}
        key = (fault, symptom)
        if key not in self._shares:
            under = self.knowledge.symptoms[symptom].under
            forms = {one: form.share for one, form in self.forms[fault].items()}
            here = {one: share for one, share in forms.items() if under is None or self._fits(one, under)}
            total = sum((here or forms).values())
            self._shares[key] = {one: share / total for one, share in (here or forms).items()}
        return self._shares[key]

    def _fits(self, hypothesis: str, under: Iterable[str]) -> bool:
        return set(self.forms[fault_of(hypothesis)][hypothesis].when).issubset(under)

    def sensible(self, symptom: str) -> frozenset[str]:
        """Return the checks that presume nothing which `symptom` excludes."""
        if symptom not in self._sensible:
            self._sensible[symptom] = frozenset(
                name for name, check in self.checks.items() if not self.knowledge.senseless(check, symptom)
            )
        return self._sensible[symptom]

    def split(self, masses: Mapping[str, float], symptom: str) -> dict[str, float]:
        """Return masses of faults as masses of hypotheses: each form has its share."""
        return {
            one: mass * share for fault, mass in masses.items() for one, share in self.shares(fault, symptom).items()
        }

    def summed(self, masses: Mapping[str, float]) -> dict[str, float]:
        """Return masses of hypotheses as masses of faults."""
        found: dict[str, float] = {}
        for hypothesis, mass in masses.items():
            fault = fault_of(hypothesis)
            found[fault] = found.get(fault, 0.0) + mass
        return found

    def every(self, named: Mapping[str, float]) -> dict[str, float]:
        """Return what is said of faults said of each of their hypotheses too."""
        forms = {form: chance for fault, chance in named.items() for form in self.forms.get(fault, ())}
        return {**named, **forms}

    def answer(self, check: str, answer: str) -> Likelihood:
        """Return P(answer of the check | fault), for every fault."""
        key = (check, answer)
        if key not in self._answers:
            self._lay_out(check)
        return self._answers[key]

    def again(self, check: str, answer: str) -> Likelihood:
        """Return the same for an answer that a look gives once more: it unmasks slips, and tells no faults apart.

        What the look truly shows, it shows again, whichever of the named faults it is.
        """
        once = self.answer(check, answer)
        most = max(once.named.values(), default=once.otherwise)
        named = {fault: most for fault, chance in once.named.items() if chance > once.otherwise}
        return Likelihood({**once.named, **named}, once.otherwise)

    def shown(self, check: str) -> Likelihood:
        """Return P(any unhealthy answer of the check | fault), for every fault."""
        if check not in self._shown:
            self._lay_out(check)
        return self._shown[check]

    def clears(self, check: str) -> frozenset[str]:
        """Return the hypotheses that the check can show, which a healthy answer looks for, and their faults."""
        if check not in self._clears:
            self._lay_out(check)
        return self._clears[check]

    def says_moved(self, check: str, answer: str) -> bool:
        """Say whether an answer accuses the place of a screw, which going back to the record puts right."""
        said = self.checks[check].answers[answer]
        return not said.healthy and any(f in self.faults and self.faults[f].mend.back for f in said.names)

    def accused(self, check: str, answer: str) -> frozenset[Screw]:
        """Return the screws that an answer names."""
        named = (self.faults[f].screw for f in self.checks[check].answers[answer].names if f in self.faults)
        return frozenset(screw for screw in named if screw in self.screws)

    def places(self, check: str) -> frozenset[Screw]:
        """Return the screws of which a check can say that they have moved."""
        moved = (self.accused(check, said) for said in self.checks[check].answers if self.says_moved(check, said))
        return frozenset().union(*moved)

    def first_owed(self, symptom: str) -> frozenset[str]:
        """Return the mechanical faults whose first look is owed before any adjustment."""
        if symptom not in self._first_owed:
            self._first_owed[symptom] = self.knowledge.first_owed(symptom, self.engine)
        return self._first_owed[symptom]

    def told(self, question: str, said: Iterable[str]) -> Likelihood:
        """Return P(what was said to a history question | fault, or hypothesis), for every fault."""
        key = (question, frozenset(said))
        if key not in self._told:
            asked = self.knowledge.history[question]
            named: dict[str, float] = {}
            for fault in sorted(asked.named()):
                forms = self.forms.get(fault, {fault: WHOLE})
                named |= {one: asked.chance(key[1], one) for one in forms}
                named[fault] = sum(form.share * named[one] for one, form in forms.items())
            self._told[key] = Likelihood(named, asked.chance(key[1], None))
        return self._told[key]

    def drifted(self, drift: Drift) -> Likelihood:
        """Return P(this drift | fault), for every fault."""
        named: dict[str, float] = {}
        for name, fault in self.faults.items():
            if fault.mechanical and fault.area in drift.areas:
                named[name] = drift.mechanical
            elif fault.turned and drift.setting in ("", fault.setting):
                named[name] = drift.needle
        return Likelihood(self.every(named), drift.otherwise)

    def _likelihoods(self, asked: Check, faults: Iterable[str]) -> dict[str, Likelihood]:
        """Return P(answer | fault) for every answer."""
        chances: dict[str, dict[str, float]] = {}
        for fault in faults:
            forms = self.forms.get(fault, {fault: WHOLE})
            each = {one: self.knowledge.chances(asked, one) for one in forms}
            chances |= each
            chances[fault] = {a: sum(forms[one].share * each[one][a] for one in forms) for a in asked.answers}
        otherwise = self.knowledge.chances(asked, None)
        return {
            answer: Likelihood({name: spread[answer] for name, spread in chances.items()}, otherwise[answer])
            for answer in asked.answers
        }

    def _lay_out(self, name: str) -> None:
        check = self.checks[name]
        named = [fault for fault in check.named() if fault in self.faults]
        for answer, likelihood in (laid_out := self._likelihoods(check, named)).items():
            self._answers[name, answer] = likelihood
        healthy = laid_out[check.healthy]
        shown = Likelihood({fault: 1 - chance for fault, chance in healthy.named.items()}, 1 - healthy.otherwise)
        self._shown[name] = shown
        forms = {one: form.share for f in named for one, form in self.forms.get(f, {f: WHOLE}).items()}
        well = {one: share for one, share in forms.items() if well_shown(shown.named[one], shown.otherwise)}
        self._clears[name] = with_faults(well)

    @cached_property
    def screws(self) -> frozenset[Screw]:
        """The screws that this engine has."""
        return frozenset(screw for screw in SCREWS if screw != "mid needle" or self.engine.needles > 2)

    @cached_property
    def lines(self) -> dict[str, RoundLine]:
        """The place of each check that stands in a round."""
        alone = {name: check.minutes for name, check in self.knowledge.checks.items()}
        return {
            check: RoundLine(name, place, made.share(alone))
            for name, made in (() if self.led else self.knowledge.rounds.items())
            for place, check in enumerate(made.checks)
        }

    def look(self, name: str) -> PlannedLook:
        """Return a check as the planner sees it."""
        if name not in self._planned_looks:
            check, shown = self.checks[name], self.shown(name)
            took = check.minutes + (sum(len(line.split()) for line in check.how) / READ if self.led else 0.0)
            self._planned_looks[name] = PlannedLook(
                name, took, check.state, shown.named, shown.otherwise, self.clears(name), self.lines.get(name)
            )
        return self._planned_looks[name]

    @cached_property
    def guards(self) -> tuple[str, ...]:
        """The two guards, the barrel first."""
        return tuple(sorted((i for i, c in self.checks.items() if c.guard), key=lambda i: str(self.checks[i].guard)))

    @cached_property
    def guarded_areas(self) -> frozenset[str]:
        """The areas that the guards look at: a mend that touches one makes both owed again."""
        return self.knowledge.guarded_areas()

    def change(self, before: str, after: str) -> float:
        """Return the minutes from one bench state to another; cooling is not counted, nor is warming up."""
        if before == after or COOLING in (before, after):
            return 0.0
        bench = self.knowledge.bench
        return (bench[before].out if before in bench else 0.0) + (bench[after].into if after in bench else 0.0)

    def runs(self, state: str) -> bool:
        """Say whether the engine runs in that bench state."""
        return state in RUNNING

    def swaps(self, check: str) -> str | None:
        """Return the fault that the check mends when it cures, if it is a swap."""
        return self._swaps.get(check)

    @cached_property
    def _swaps(self) -> dict[str, str]:
        return {i: a.mends for i, c in self.checks.items() for a in reversed(c.answers.values()) if a.mends}

    def looks(self, look: str) -> dict[str, Check]:
        """Return the checks of one kind."""
        return self._looks.get(look, {})

    @cached_property
    def _looks(self) -> dict[str, dict[str, Check]]:
        found: dict[str, dict[str, Check]] = {}
        for name, check in self.checks.items():
            found.setdefault(check.look, {})[name] = check
        return found

    def minutes(self, fact: str) -> float:
        """Return the minutes that a fact states, 0 when there is no such fact."""
        found = self.knowledge.facts.get(fact)
        return found.value or 0.0 if found else 0.0

    def degrees(self, fact: str) -> float:
        """Return a temperature in °C: the engine's own value, or the fact's."""
        return self.knowledge.number(fact, self.engine)
