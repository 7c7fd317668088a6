"""Where a walk stands: at which node, what it believes, what is owed, and what the open answers accuse.

The node is found afresh from the start of the route each time, so that a retired answer brings the walk back into its
sweep, and a changed answer takes another branch, with no state to keep in step.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property
from typing import TypedDict

from msgspec import Struct

from diagnose.graph.model import (
    OWED_SHARE,
    Adjust,
    Ask,
    LookKind,
    Node,
    Prepare,
    Refer,
    Screw,
    Sweep,
    Symptom,
    Work,
    exits,
    fault_of,
)
from diagnose.reason import belief as bel
from diagnose.reason import events as ev
from diagnose.reason.forms import STILL_HELD, Forms
from diagnose.reason.learned import weighed
from diagnose.reason.scope import Likelihood, Scope
from diagnose.reason.state import ABOVE, State
from diagnose.reason.story import heard

STRIP_BELIEF = 0.02
"""A strip-down is owed while its fault holds at least this much belief."""

BACKGROUND = 0.5
"""The weight of a fault that does not explain the symptom, once a check accuses it. A judgement."""

SURE_ENOUGH = 0.8
"""Among the accused, a fault with this share is mended without more looks."""

LEAST_SHARE = 0.02

RULED_OUT = 0.1
"""What is accused with less than this of the likeliest one's share is not said to be found."""

LIKELY = 0.5
"""An accusation that another look contradicts still stands while its fault holds at least this belief."""

MAX_NODES = 200
"""More nodes than any route passes: a route that loops without a step ends in a hand-over."""


class _Counted(TypedDict):
    """What of all that nobody has looked at a belief counts."""

    drift: bool
    story: bool
    learned: bool


class Position(Struct, frozen=True):
    """A symptom (a door may have led to another) and the node the walk stands at; `lost` says why there is none."""

    symptom: str
    node: str
    lost: str = ""


class Standing:
    """Everything that follows from a state; computed once, when it is asked for."""

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
    def position(self) -> Position:
        """The node where the walk stands."""
        return self.path[-1]

    @cached_property
    def path(self) -> tuple[Position, ...]:
        """The nodes that the walk has come through, the one where it stands last."""
        knowledge, results = self.scope.knowledge, self._results()
        symptom = self.state.started.symptom
        node = knowledge.symptoms[symptom].start
        path: list[Position] = []
        for _ in range(MAX_NODES):
            step = knowledge.symptoms[symptom].route[node]
            onward = self._exit(symptom, step, results.get(node, []))
            path.append(Position(symptom, node))
            if onward is None:
                return tuple(path)
            if onward in knowledge.symptoms[symptom].route:
                node = onward
            elif onward in knowledge.symptoms:
                symptom, node = onward, knowledge.symptoms[onward].start
            else:
                return (*path, Position(symptom, node, lost=onward))
        return (*path, Position(symptom, node, lost="the route turns in a circle"))

    def _results(self) -> dict[str, list[str]]:
        """Return the exits that each node's doings have taken, oldest first."""
        found: dict[str, list[str]] = {}
        for result in self.state.results:
            found.setdefault(result.node, []).append(result.exit)
        return found

    def _exit(self, symptom: str, step: Node, results: list[str]) -> str | None:
        """Return the node that follows, None to stay here, or (unknown as a node) the reason for a hand-over."""
        if not step.only.fits(self.scope.engine):
            return step.otherwise or ""
        match step:
            case Sweep():
                return None if self.owed_in(symptom, step) else step.then
            case Ask():
                return self._branch(step)
            case Adjust():
                leads = exits(step)
                while results:
                    if (taken := results.pop(0)) in leads:  # what else stands here was its demand for heat
                        return leads[taken]
                return None
            case Prepare():
                prepared = self.scope.knowledge.preparations[step.prepare]
                if prepared.back and (self.on_record or not self._record_awaits(step.prepare)):
                    return step.then
                return self._prepared(step, results)
            case Refer():
                return None

    @property
    def on_record(self) -> bool:
        """Say whether what is suspected went back in this walk, was tried there, and has not been turned since."""
        tried = self.state.retest not in ("restore", "both")
        return tried and not self.state.standing_turns and self.state.home.issuperset(self.suspected)

    @property
    def suspected(self) -> frozenset[Screw]:
        """Return the screws under suspicion: those that were seen to have moved, else every one."""
        return self._seen_moved or self.scope.screws

    @cached_property
    def in_place(self) -> frozenset[Screw]:
        """The screws that were seen to stand on the record, on a day that asks for nothing richer."""
        state, drift = self.state, self.state.drift
        if not state.started.recorded or (drift is not None and drift.setting == "lean"):
            return frozenset()
        seen = [name for name, one in state.answers.items() if state.healthy(self.scope, name) and not one.carried]
        return frozenset().union(*map(self.scope.places, seen))

    @property
    def seen_away(self) -> frozenset[Screw]:
        """Return the screws that were seen to have moved, and are not home."""
        return self._seen_moved - self.state.home

    @property
    def _seen_moved(self) -> frozenset[Screw]:
        moved = {name: given.answer for name, given in self.state.answers.items() if self._says_moved(name)}
        return frozenset().union(*(self.scope.accused(name, said) for name, said in moved.items()))

    def _says_moved(self, check: str) -> bool:
        return self.scope.says_moved(check, self.state.answers[check].answer)

    def _record_awaits(self, preparation: str) -> bool:
        """Say whether there is a record, and nobody has put off going back to it."""
        return self.state.started.recorded and preparation not in self.state.deferred

    @property
    def goes_back_first(self) -> str:
        """The preparation that goes back, while it comes before any adjustment; "" when there is none, or no more.

        Where a look has shown that no screw has moved, the engine stands on its record already. But where air or fuel
        ask for over an hour richer, the record is corrected for them, and that is another place.
        """
        moved = {name for name, fault in self.scope.faults.items() if fault.mend.back}
        drift = self.state.started.drift
        corrected = drift is not None and drift.setting == "lean"
        if self.state.home.issuperset(self.scope.screws) or (
            moved & (self.first_looked | self.strip_looked) and not corrected
        ):
            return ""
        return self.way_back

    @property
    def way_back(self) -> str:
        """The preparation that goes back to the record; "" without a record, or when it was put off."""
        ways = (name for name, prepared in self.scope.knowledge.preparations.items() if prepared.back)
        return next(filter(self._record_awaits, ways), "")

    def _branch(self, step: Ask) -> str | None:
        """Return the branch of the answer given in this walk: an old healthy one decides nothing unasked."""
        state, name = self.state, step.ask
        given = state.answers.get(name)
        if given is not None and not given.carried and name not in state.recheck:
            return step.branches[given.answer]
        if name in self.implied:
            return step.branches[self.implied[name]]
        if name in state.passed:
            return step.branches[state.passed[name]]
        if name in state.unanswered:
            reason = state.unanswered[name]
            fallback = step.branches.get(reason) or step.branches.get(ev.CANT_TELL)
            said = self.scope.checks[name].name
            return fallback or f"without an answer to '{said}' the next step would be a guess"
        return None

    @staticmethod
    def _prepared(step: Prepare, results: list[str]) -> str | None:
        """Return the exit that a preparation took; one that is not written is tried once more, then handed over."""
        tried = False
        while results:
            taken = results.pop(0)
            if onward := exits(step).get(taken):
                return onward
            if taken == ABOVE:
                continue
            if taken == "won't run" or tried:
                return f"it would not come ready: {taken}"
            tried = True
        return None

    @property
    def symptom_id(self) -> str:
        """The symptom that the walk is about now."""
        return self.position.symptom

    @property
    def symptom(self) -> Symptom:
        """The same, whole."""
        return self.scope.knowledge.symptoms[self.symptom_id]

    @property
    def node(self) -> Node:
        """The node where the walk stands, whole."""
        return self.symptom.route[self.position.node]

    def makes_sense(self, check: str) -> bool:
        """Say whether to ask a check: it presumes nothing that the complaint excludes, and no other answer tells it."""
        return check in self.scope.sensible(self.symptom_id) and check not in self.implied

    @cached_property
    def implied(self) -> dict[str, str]:
        """What other answers tell of checks that nobody has answered."""
        return self.state.implied(self.scope)

    def work(self, kind: str, name: str) -> Work | None:
        """Return what a step of this kind does to the car; None where hands do nothing but turn a screw."""
        match kind:
            case "ask" | "recheck":
                return self.scope.checks[name]
            case "mend" | "restore" if name in self.scope.faults:
                return self.scope.faults[name].mend
            case "prepare" | "restore":
                return self.scope.knowledge.preparations[name]
            case "retest":
                return self.scope.knowledge.symptoms[name].retest
            case _:
                return None

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

    def at_most(self, symptom: str) -> dict[str, float]:
        """Return what each hypothesis holds at the most, with or without what the club has learned."""
        held = self.held_about(symptom)
        if self.state.started.learned is None:
            return held
        files = self.held_about(symptom, learned=False)
        return {one: max(share, files[one]) for one, share in held.items()}

    @property
    def held(self) -> dict[str, float]:
        """The belief in each hypothesis about the symptom that the walk is about."""
        return self.held_about(self.symptom_id)

    @cached_property
    def belief(self) -> dict[str, float]:
        """The belief in each fault about the symptom that the walk is about."""
        return self.scope.summed(self.held)

    @cached_property
    def forms(self) -> Forms:
        """How the belief in each fault is shared among its forms."""
        return Forms(self.scope, self.symptom_id, self.evidence)

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

    def unlooked(self, faults: Iterable[str], look: LookKind, symptom: str = "") -> frozenset[str]:
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
                beliefs = beliefs or [
                    self.held_about(symptom or self.symptom_id, **counted) for counted in self._untold
                ]
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

    @cached_property
    def first_owed(self) -> frozenset[str]:
        """The faults whose first look is owed before any adjustment."""
        return frozenset(map(fault_of, self.first_open))

    @cached_property
    def first_open(self) -> frozenset[str]:
        """The same, and each of their forms that is still to be looked for."""
        return self.unlooked(self.scope.first_owed(self.symptom_id), "first")

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
            check.look == "first" and form in self.scope.clears(name) and self.state.healthy(self.scope, name)
            for name, check in self.scope.checks.items()
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

    @cached_property
    def explaining(self) -> frozenset[str]:
        """The faults that explain the symptom on this engine."""
        return frozenset(self.scope.explaining(self.symptom_id))

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
