"""Where a walk stands: at which node, what it believes, what is owed, and what the open answers accuse."""

from __future__ import annotations

from functools import cached_property

from diagnose.graph.model import Ask
from diagnose.reason import belief as bel
from diagnose.reason import events as ev
from diagnose.reason.placed import Placed

BACKGROUND = 0.5
"""The weight of a fault that does not explain the symptom, once a check accuses it. A judgement."""

SURE_ENOUGH = 0.8
"""Among the accused, a fault with this share is mended without more looks."""

LEAST_SHARE = 0.02

RULED_OUT = 0.1
"""What is accused with less than this of the likeliest one's share is not said to be found."""

LIKELY = 0.5
"""An accusation that another look contradicts still stands while its fault holds at least this belief."""


class Standing(Placed):
    """Everything that follows from a state; computed once, when it is asked for."""

    @cached_property
    def pointed_at(self) -> dict[str, list[str]]:
        """The faults that open unhealthy answers accuse and a mend could put right, with the checks that do."""
        found: dict[str, list[str]] = {}
        for check in self._accusers():
            mended = self.state.on_trial if self.scope.checks[check].remembered else ()  # the past still accuses it
            for fault in self._named_by(check):
                if fault not in self.state.struck and fault not in mended:
                    found.setdefault(fault, []).append(check)
        return found

    @cached_property
    def accused(self) -> dict[str, list[str]]:
        """The same, without what other looks have outvoted."""
        return {fault: checks for fault, checks in self.pointed_at.items() if not self.outvoted(fault)}

    @cached_property
    def unsafe(self) -> list[str]:
        """The accused faults that keep an engine off which can run away: what shuts its throttle comes first."""
        if not self.symptom.runs_away:
            return []
        faults, areas = self.scope.faults, self.scope.guarded_areas
        return [fault for fault, by in self.accused.items() if faults[fault].area in areas and self.surely(by)]

    @cached_property
    def chances(self) -> dict[str, float]:
        """The belief with room for what is accused and does not explain the symptom."""
        weights = {fault: BACKGROUND for check in self._accusers() for fault in self._named_by(check)}
        weights |= self.scope.explaining(self.symptom_id)
        return self._posterior(self._alive(weights))

    def _posterior(self, prior: dict[str, float]) -> dict[str, float]:
        """Return the belief in each fault after all that was answered."""
        return self.scope.summed(bel.posterior(self.scope.split(prior, self.symptom_id), self.evidence))

    @cached_property
    def contradictory(self) -> list[str]:
        """The checks that accused what may still be wrong, came out healthy when made again, and may be made again."""
        found, done = [], self.state.struck | set(self.state.on_trial)
        for name, given in self.state.answers.items():
            check = self.scope.checks[name]
            if len(given.earlier) != 1 or not given.earlier[0].sure or not self.state.healthy(self.scope, name):
                continue
            before = check.answers[given.earlier[0].answer]
            if not before.healthy and set(before.names) - done and not (check.runs and self.state.grounded()):
                found.append(name)
        return found

    def surely(self, accusers: list[str]) -> bool:
        """Say whether somebody was sure of one of these answers."""
        return any(self.state.answers[check].sure for check in accusers)

    def outvoted(self, fault: str) -> bool:
        """Say whether an accusation has lost: another look that can show the fault did not, and it is not likely."""
        form = self.forms.likeliest(fault)
        healthy = any(
            form in self.scope.clears(name) and self.state.healthy(self.scope, name) for name in self.state.answers
        )
        return healthy and self.chances.get(fault, 0.0) < LIKELY

    def ruled_out(self, fault: str) -> bool:
        """Say whether a look that can show an accused fault was made after those that accuse it, and was healthy."""
        form, state = self.forms.likeliest(fault), self.state
        accused = max((state.answers[check].number for check in self.pointed_at.get(fault, ())), default=0)
        return any(
            given.number > accused and state.healthy(self.scope, name) and form in self.scope.clears(name)
            for name, given in state.answers.items()
        )

    @cached_property
    def outvoted_checks(self) -> frozenset[str]:
        """The checks whose unhealthy answer accuses nothing that still stands: they may be made once more."""
        standing = {check for checks in self.accused.values() for check in checks}
        return frozenset(check for check in self._accusers() if self._named_by(check) and check not in standing)

    @cached_property
    def dead_accusations(self) -> list[str]:
        """Checks that still accuse although everything they accuse has been mended and struck."""
        return [
            check
            for check in self._accusers()
            if (named := self._named_by(check))
            and not self.scope.checks[check].remembered
            and all(fault in self.state.struck for fault in named)
            and not self._turned_by(check)
        ]

    @cached_property
    def accusing(self) -> list[str]:
        """The checks that accuse a mechanical fault that is mended or not, outvoted or not; no screw explains them."""
        found = []
        for check in self._accusers():
            named = [fault for fault in self._named_by(check) if self.scope.faults[fault].mechanical]
            if named and not self.scope.checks[check].remembered and not self._turned_by(check):
                found.append(check)
        return found

    def _accusers(self) -> list[str]:
        """Return the checks with an open unhealthy answer; while one grounds the engine, only those."""
        state, scope = self.state, self.scope
        found = [name for name, given in state.answers.items() if not scope.checks[name].answers[given.answer].healthy]
        found = [name for name in found if scope.clears(name) and name not in state.recheck]
        grounding = [name for name in found if scope.checks[name].answers[state.answers[name].answer].grounds]
        return grounding or found

    def _named_by(self, check: str) -> list[str]:
        """Return the faults that the open answer of `check` names and a mend could put right."""
        answer = self.scope.checks[check].answers[self.state.answers[check].answer]
        likelihood = self.scope.answer(check, self.state.answers[check].answer)
        named = [
            fault
            for fault in answer.names
            if fault in self.scope.faults
            and not self.scope.faults[fault].turned
            and likelihood.of(fault) > likelihood.otherwise
        ]
        if check in self._branching:  # a branch speaks for itself; it accuses only what it shows well and unseen
            seen = (self.first_looked | self.strip_looked) - self.first_owed
            named = [fault for fault in named if fault in self.scope.clears(check) and fault not in seen]
            if answer.sign:  # it says that it is lean or rich, and not why: what else shows it is looked for
                named = []
        if answer.grounds:
            return named
        faults = self.scope.faults  # what is easily mistaken is accused only where it explains what the engine does
        return [fault for fault in named if fault in self.explaining or not faults[fault].mend.after]

    def _turned_by(self, check: str) -> bool:
        answer = self.scope.checks[check].answers[self.state.answers[check].answer]
        return any(fault in self.scope.faults and self.scope.faults[fault].turned for fault in answer.names)

    @cached_property
    def _branching(self) -> frozenset[str]:
        """The checks that the route branches on."""
        return frozenset(node.ask for node in self.symptom.route.values() if isinstance(node, Ask))

    @cached_property
    def shares(self) -> dict[str, float]:
        """The belief among the accused that can be mended now; none when what was put off holds nearly all of it."""
        if not self.accused:
            return {}
        learned = self.state.started.learned is not None
        shares = self._among_accused(self._weights(self.symptom_id)) if learned else self._among
        left = bel.normalised({fault: share for fault, share in shares.items() if fault not in self.state.deferred})
        standing = {fault: share for fault, share in left.items() if fault in self.accused}
        put_off = sum(self._among[fault] for fault in self.accused if fault in self.state.deferred)
        if put_off >= SURE_ENOUGH * sum(self._among[fault] for fault in self.accused):
            return {}
        return dict(sorted(standing.items(), key=lambda pair: (-pair[1], pair[0])))

    @cached_property
    def _among(self) -> dict[str, float]:
        """The belief among all that is pointed at, by the files' weights: nothing learned says that it is not found."""
        return self._among_accused(self.scope.explaining(self.symptom_id))

    def _among_accused(self, weights: dict[str, float]) -> dict[str, float]:
        return self._posterior(bel.normalised({fault: weights.get(fault, BACKGROUND) for fault in self.pointed_at}))

    @cached_property
    def found(self) -> list[str]:
        """The accused faults that may be said to be found: what another look has all but ruled out is not."""
        most = max((self._among[fault] for fault in self.accused), default=0.0)
        return [fault for fault in self.accused if self._among[fault] >= RULED_OUT * most]

    @cached_property
    def signs(self) -> dict[tuple[str, str], list[str]]:
        """The independent signs about each screw: (screw, rich or lean) → where each comes from.

        A sign of rich must be sure. A sign of lean counts even when it is not: it only ever forbids.
        """
        found: dict[tuple[str, str], list[str]] = {}
        symptoms = [self.symptom]
        symptoms += [self.scope.knowledge.symptoms[also] for also in self.state.told.get(ev.ALSO, ())]
        for symptom in symptoms:
            for screw, setting in symptom.sign.items():
                found.setdefault((screw, setting), []).append(symptom.name)
        for name, given in self.state.answers.items():
            check = self.scope.checks[name]
            for screw, setting in check.answers[given.answer].sign.items():
                if given.sure or setting == "lean":
                    found.setdefault((screw, setting), []).append(check.name)
        return found

    @cached_property
    def signs_at_load(self) -> dict[tuple[str, str], list[str]]:
        """Those of the signs that a look at the running engine has shown: a complaint is one that was only told."""
        checks = self.scope.checks
        seen = {checks[name].name for name in self.state.answers if self.scope.runs(checks[name].state)}
        return {about: names for about, signs in self.signs.items() if (names := [n for n in signs if n in seen])}
