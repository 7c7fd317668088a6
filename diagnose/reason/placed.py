"""At which node of which route a walk stands.

The node is found afresh from the start of the route each time, so that a retired answer brings the walk back into its
sweep, and a changed answer takes another branch, with no state to keep in step.
"""

from __future__ import annotations

from functools import cached_property

from msgspec import Struct

from diagnose.graph.model import Adjust, Ask, Node, Prepare, Refer, Screw, Sweep, Symptom, Work, exits, fault_of
from diagnose.reason import events as ev
from diagnose.reason.forms import Forms
from diagnose.reason.held import HeldBelief
from diagnose.reason.state import ABOVE

MAX_NODES = 200
"""More nodes than any route passes: a route that loops without a step ends in a hand-over."""


class Position(Struct, frozen=True):
    """A symptom (a door may have led to another) and the node the walk stands at; `lost` says why there is none."""

    symptom: str
    node: str
    lost: str = ""


class Placed(HeldBelief):
    """The node that follows from a state, and the belief about the symptom that the walk has come to."""

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

    @property
    def held(self) -> dict[str, float]:
        """The belief in each hypothesis about the symptom that the walk is about."""
        return self.held_about(self.symptom_id)

    @cached_property
    def belief(self) -> dict[str, float]:
        """The belief in each fault about the symptom that the walk is about."""
        return self.scope.summed(self.held)

    @cached_property
    def spoken(self) -> dict[str, float]:
        """The belief as it is said to people: the screws hold less of it (`tempered`)."""
        return self.scope.summed(self.tempered(self.held))

    @cached_property
    def forms(self) -> Forms:
        """How the belief in each fault is shared among its forms."""
        return Forms(self.scope, self.symptom_id, self.evidence)

    @cached_property
    def first_owed(self) -> frozenset[str]:
        """The faults whose first look is owed before any adjustment."""
        return frozenset(map(fault_of, self.first_open))

    @cached_property
    def first_open(self) -> frozenset[str]:
        """The same, and each of their forms that is still to be looked for."""
        return self.unlooked(self.scope.first_owed(self.symptom_id), "first", self.symptom_id)

    @cached_property
    def explaining(self) -> frozenset[str]:
        """The faults that explain the symptom on this engine."""
        return frozenset(self.scope.explaining(self.symptom_id))
