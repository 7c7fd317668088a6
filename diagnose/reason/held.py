"""What a walk believes about a symptom, and what has still to be looked for before that is believed off.

None of it asks where on a route the walk stands.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property
from typing import TypedDict

from diagnose.graph.model import OWED_SHARE, LookKind, Sweep, fault_of
from diagnose.reason import belief as bel
from diagnose.reason import events as ev
from diagnose.reason.forms import STILL_HELD
from diagnose.reason.learned import weighed
from diagnose.reason.scope import Likelihood, Scope
from diagnose.reason.state import State
from diagnose.reason.story import heard

SCREWS_SAID = 0.25
"""What the weight of a screw counts for where its belief is said in words, and before a needle is turned.

A needle's signs are those of a leak that every look has missed, and nobody has counted how often a screw was it. On
simulated engines of seeds 101 to 103 a screw that held 0.9 or more was what was wrong in 64 % of the steps, a part in
97 %. With a quarter each word is right within 0.05. With a half two words still say too much by 0.07; with an eighth
one screw in ten that is called very unlikely is what is wrong.
"""

STRIP_BELIEF = 0.02
"""A strip-down is owed while its fault holds at least this much belief."""


class _Counted(TypedDict):
    """What of all that nobody has looked at a belief counts."""

    drift: bool
    story: bool
    learned: bool


class HeldBelief:
    """The belief that follows from a state; computed once, when it is asked for."""

    def __init__(self, scope: Scope, state: State) -> None:
        self.scope = scope
        self.state = state
        self._held: dict[tuple[str, bool, bool, bool], dict[str, float]] = {}

    @cached_property
    def first_looked(self) -> frozenset[str]:
        """The hypotheses that first looks have looked for, and the faults of which they are some."""
        return self.state.looked_for(self.scope, "first")

    @cached_property
    def strip_looked(self) -> frozenset[str]:
        """The same for strip-downs."""
        return self.state.looked_for(self.scope, "strip")

    @cached_property
    def implied(self) -> dict[str, str]:
        """What other answers tell of checks that nobody has answered."""
        return self.state.implied(self.scope)

    def held_about(
        self, symptom: str, *, drift: bool = True, story: bool = True, learned: bool = True
    ) -> dict[str, float]:
        """Return the belief in each hypothesis, with what was mended and did not cure it struck.

        It is had without the drift, without the story, or without what the club has learned, as well.
        """
        key = (symptom, drift, story, learned)
        if key not in self._held:
            prior = self._alive(self._weights(symptom) if learned else self.scope.explaining(symptom))
            evidence = [*(self._told if story else []), *self._seen, *(self._drifted if drift else [])]
            self._held[key] = bel.posterior(self.scope.split(prior, symptom), evidence)
        return self._held[key]

    def _weights(self, symptom: str) -> dict[str, float]:
        """Return the weights of what explains a symptom, with what the club has learned in them."""
        weights, learned = self.scope.explaining(symptom), self.state.started.learned
        if learned is None:
            return weights
        mechanical = {fault for fault in weights if self.scope.faults[fault].mechanical}
        return weighed(weights, mechanical, learned.counts.get(symptom, {}), learned.strength)

    def _alive(self, weights: dict[str, float]) -> dict[str, float]:
        """Return the belief before any answer, in what is not struck, nor the fault of a tool that is not there."""
        gone = self.state.struck | self.state.without(self.scope)
        return bel.prior({fault: weight for fault, weight in weights.items() if fault not in gone})

    @property
    def _untold(self) -> list[_Counted]:
        """Whether the drift, the story, and what was learned counts: each belief that must let something off."""
        drifts, stories = {self.state.drift is not None, False}, {bool(self._told), False}
        lessons = {self.state.started.learned is not None, False}
        return [{"drift": d, "story": s, "learned": one} for d in drifts for s in stories for one in lessons]

    def at_most(self, symptom: str, *, tempered: bool = False) -> dict[str, float]:
        """Return what each hypothesis holds at the most: with or without what was learned, and `tempered` or not."""
        held = self.held_about(symptom)
        beliefs = [held]
        if self.state.started.learned is not None:
            beliefs.append(self.held_about(symptom, learned=False))
        if tempered:
            beliefs += [self.tempered(belief) for belief in beliefs]
        return {one: max(belief[one] for belief in beliefs) for one in held}

    def tempered(self, held: Mapping[str, float]) -> dict[str, float]:
        """Return a belief with the screws at `SCREWS_SAID` of their weight."""
        faults = self.scope.faults
        screws = {one for one in held if one != bel.OTHER and not faults[fault_of(one)].mechanical}
        return bel.normalised({one: share * (SCREWS_SAID if one in screws else 1.0) for one, share in held.items()})

    @cached_property
    def evidence(self) -> list[tuple[Likelihood, float]]:
        """What was answered and told, each with the power that it is taken to; the drift counts like an answer."""
        return [*self._told, *self._seen, *self._drifted]

    @property
    def _drifted(self) -> list[tuple[Likelihood, float]]:
        """What the drift says, while nothing has been done about it."""
        drift = self.state.drift
        return [(self.scope.drifted(drift), 1.0)] if drift else []

    @cached_property
    def _told(self) -> list[tuple[Likelihood, float]]:
        """What was told before any check."""
        return [(self.scope.told(question, said), 1.0) for question, said in heard(self.scope, self.state)]

    @cached_property
    def _seen(self) -> list[tuple[Likelihood, float]]:
        """What was answered, and what else the engine was seen to do."""
        scope, found = self.scope, []
        found += [(bel.also(scope, symptom), 1.0) for symptom in self.state.told.get(ev.ALSO, ())]
        for check, given in self.state.answers.items():
            sure = given.sure and not given.carried
            found.append((scope.answer(check, given.answer), 1.0 if sure else bel.UNSURE))
            for earlier in given.earlier:
                same = earlier.answer == given.answer
                likelihood = (scope.again if same else scope.answer)(check, earlier.answer)
                found.append((likelihood, bel.UNSURE if earlier.sure else bel.UNSURE**2))
        return found

    def owed_in(self, symptom: str, sweep: Sweep) -> frozenset[str]:
        """Return the faults that the sweep has still to look for."""
        owed = self.scope.first_owed(symptom) if sweep.look == "first" else self.strips_owed(symptom)
        swept = [fault for fault in owed if self.scope.faults[fault].area in sweep.sweep]
        return frozenset(map(fault_of, self.unlooked(swept, sweep.look, symptom)))

    def unlooked(self, faults: Iterable[str], look: LookKind, symptom: str) -> frozenset[str]:
        """Return what of `faults` is not looked for: those of which nothing is, and each form that is still held.

        A form that is rare among those of its fault, or holds hardly any belief, or that no look shows, is not waited
        for. Some form of each fault is always looked for, whatever is believed. No drift, no story, and nothing that
        was learned takes a form off.
        """
        looked = self.first_looked if look == "first" else self.strip_looked
        found = {fault for fault in faults if fault not in looked}
        beliefs: list[dict[str, float]] = []
        for fault in faults:
            for hypothesis, form in self.scope.forms.get(fault, {}).items():
                if hypothesis in looked or form.share < OWED_SHARE or form.because:
                    continue
                beliefs = beliefs or [self.held_about(symptom, **counted) for counted in self._untold]
                if any(belief.get(hypothesis, 0.0) >= STILL_HELD for belief in beliefs):
                    found.add(hypothesis)
        return frozenset(found)

    def strips_owed(self, symptom: str) -> frozenset[str]:
        """Return the faults whose strip-down is owed: not cleared, and believable enough.

        No drift takes one off, nor anything that was told or learned: none of it has been looked at.
        """
        possible = self.scope.knowledge.strip_owed(symptom, self.scope.engine)
        if possible <= self.strip_looked and self.scope.forms.keys().isdisjoint(possible):
            return frozenset()
        owed = frozenset(map(fault_of, self.unlooked(possible, "strip", symptom)))
        beliefs = [self.scope.summed(self.held_about(symptom, **counted)) for counted in self._untold]
        return frozenset(f for f in owed if any(belief.get(f, 0.0) >= STRIP_BELIEF for belief in beliefs))
