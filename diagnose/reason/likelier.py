"""What comes before a mend that is not likely: a look that shows something else, and is likelier to for its minutes.

One look accuses several faults, and another look acquits the likeliest of them. What is left is not thereby likely:
without this, shims were changed at one in six, while a worn piston held twice that and a minute's look was owed.
"""

from __future__ import annotations

from diagnose.graph.model import Sweep
from diagnose.reason.looking import Looking
from diagnose.reason.standing import LIKELY
from diagnose.reason.view import Step


class Likelier:
    """The looks that come before the mends of one standing."""

    def __init__(self, looking: Looking) -> None:
        self.looking, self.steps = looking, looking.steps
        self.standing, self.scope, self.state = looking.standing, looking.scope, looking.state

    def before(self, fault: str) -> Step | None:
        """Return a look that is to come before the mend of `fault`; None where that is mended now.

        Of two things that may be done next, the one with the better chance for its minutes goes first (Bellman's
        exchange; Heckerman, Breese and Rommelse, CACM 38(3), 1995). What holds half of the belief is mended without,
        and so is what grounds the engine.
        """
        faults, mend = self.scope.faults, self.scope.faults[fault].mend
        alike = (one for one in self.standing.accused if faults[one].mend.do == mend.do)
        there = sum(self.standing.chances.get(one, 0.0) for one in alike)
        if there >= LIKELY or self.state.grounded():
            return None
        worth = there / max(mend.minutes + self.standing.symptom.retest.minutes, 0.1)
        return self._at_the_outvoted(fault, worth) or self._owed(fault, worth)

    def _owed(self, fault: str, worth: float) -> Step | None:
        """Return the look that is owed next where the walk stands, if it is worth more than the mend."""
        node = self.standing.node
        if self.standing.position.lost or not isinstance(node, Sweep):
            return None
        step = self.looking.swept(node)
        return step if step.kind == "ask" and self._shows(step.id, fault) >= worth else None

    def _at_the_outvoted(self, fault: str, worth: float) -> Step | None:
        """Return a different look at what is likelier, where one look has pointed at that and another has not."""
        standing, chances = self.standing, self.standing.chances
        likelier = [
            one
            for one in standing.pointed_at
            if one not in standing.accused and chances.get(one, 0.0) > chances.get(fault, 0.0)
        ]
        forms = {standing.forms.likeliest(one) for one in likelier}
        rates = {
            name: self._shows(name, fault)
            for name in self.looking.open_checks("first")
            if forms & self.scope.clears(name) and not self.looking.tries_the_danger(name)
        }
        best = max(rates, key=lambda name: (rates[name], name), default="")
        if not best or rates[best] < worth:
            return None
        named = self.looking.fault_names(likelier)
        return self.looking.demanded(best, f"One look pointed at it, and another did not. A third tells: {named}.")

    def _shows(self, name: str, fault: str) -> float:
        """Return the chance for each minute that a look shows something other than `fault`."""
        chances, check = self.standing.chances, self.scope.checks[name]
        shown = self.standing.forms.now(self.scope.shown(name), chances)
        chance = sum(share * shown.of(one) for one, share in chances.items() if one != fault and one in shown.named)
        return chance / max(self.steps.minutes(check.state, check.minutes), 0.1)
