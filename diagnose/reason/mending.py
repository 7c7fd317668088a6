"""What is done about what answers accuse: tell it apart, ask a second sign while that is cheaper, mend it."""

from __future__ import annotations

from collections.abc import Iterable

from diagnose.graph.model import Prepare, Sweep
from diagnose.reason import belief as bel
from diagnose.reason import plain
from diagnose.reason.beforehand import ASKED_AGAIN
from diagnose.reason.likelier import Likelier
from diagnose.reason.looking import Looking
from diagnose.reason.scope import Likelihood
from diagnose.reason.second_sign import SecondSign
from diagnose.reason.standing import LEAST_SHARE, LIKELY, SURE_ENOUGH
from diagnose.reason.view import Step

LEAST_GAIN = 0.05
"""Bits: a check that is expected to take less off the belief does not tell the accused apart."""


class Mending:
    """The mends of one standing."""

    def __init__(self, looking: Looking) -> None:
        self.looking, self.steps = looking, looking.steps
        self.standing, self.scope, self.state = looking.standing, looking.scope, looking.state
        self.signs = SecondSign(looking)

    def next(self, now: float) -> Step | None:
        """Tell the accused apart, then mend the likeliest, then the quickest gain; None to look on."""
        shares = {fault: share for fault, share in self.standing.shares.items() if not self._held_back(fault)}
        if not shares:
            return self._not_mended()
        top, share = next(iter(shares.items()))
        plainly = self._plainly(shares)
        if plainly:
            top = plainly
        elif share < SURE_ENOUGH and not self._one_mend(shares):
            apart = self._telling_apart(shares)
            if apart is not None:
                return apart
            mends = {f: self.scope.faults[f].mend.minutes for f in shares}
            top = min(shares, key=lambda fault: (-shares[fault] / max(mends[fault], 0.1), fault))
        if (first := self._comes_first(top) or self._before_a_screw(top)) is not None:
            return first
        accusers = self.standing.accused[top]
        home = self._goes_home(top)
        if not plainly and (second := self.signs.next(top, accusers, home=home)) is not None:
            return second
        if home:
            return None
        if not self.standing.surely(accusers):
            return None  # nobody is sure, and nothing else can show it: it stays owed
        if not plainly and (look := Likelier(self.looking).before(top)) is not None:
            return look
        names = self.looking.check_names(accusers)
        last_time = all(self.state.answers[name].carried for name in accusers)
        showed = f"{names} showed it last time, and it was not mended." if last_time else f"{names} showed it."
        return self.steps.mend(top, f"{showed}{self._late(top, now)}")

    def plainly(self) -> Step | None:
        """Mend what a look has shown plainly, and no other contradicts; None for nothing."""
        found = self._plainly(
            {fault: share for fault, share in self.standing.shares.items() if not self._held_back(fault)}
        )
        if not found or self._comes_first(found) is not None:
            return None
        return self.steps.mend(found, f"{self.looking.check_names(self.standing.accused[found])} showed it as well.")

    def _plainly(self, shares: Iterable[str]) -> str:
        """Return what of these a look has shown plainly, and surely: it needs no more proof; "" for nothing."""
        standing = self.standing
        likely = {one for one, share in standing.chances.items() if share >= LIKELY and one in standing.explaining}
        for fault in shares:
            for name in self.standing.accused[fault]:
                given = self.state.answers[name]
                shown = given.sure and plain.found(self.scope, name, given.answer) == fault
                if shown and fault in likely and not self.signs.wavered(name):
                    return fault
        return ""

    def _held_back(self, fault: str) -> bool:
        """Say whether something else is put right first: what it waits for, or what the engine may not turn with."""
        if self.scope.faults[fault].mend.engine != "off" and self.looking.grounded_but_for(fault):
            return True
        given = {name: self.state.answers[name].answer for name in self._awaited(fault) if name in self.state.answers}
        return any(not self.scope.checks[name].answers[answer].healthy for name, answer in given.items())

    def _comes_first(self, fault: str) -> Step | None:
        """Return the check that this mend waits for. One that can't be made, or is never sure, holds nothing up."""
        for name in self._awaited(fault):
            sure = self.state.healthy(self.scope, name) or self.state.asked.get(name, 0) >= ASKED_AGAIN
            if not sure and name not in self.state.unanswered and self.standing.makes_sense(name):
                what = self.standing.forms.name(fault)
                return self.looking.demanded(name, f"Something else looks the same. It comes before this mend: {what}.")
        return None

    def _before_a_screw(self, fault: str) -> Step | None:
        """Return the next look that is owed before a screw is set: its place is wrong, or something else holds it so.

        Only with the engine off: where the screws stand wrong, no engine is run to look at something else.
        """
        if self.scope.faults[fault].mechanical:
            return None
        planned = self.looking.plan(self.standing.first_open, "first")
        off = next((look.id for look in planned if self.scope.checks[look.id].engine == "off"), None)
        if off is None:
            return None
        return self.looking.ask(off, f"It is owed before a screw is set: {self.standing.forms.name(fault)}.")

    def _awaited(self, fault: str) -> list[str]:
        return [name for name in self.scope.faults[fault].mend.after if name in self.scope.checks]

    def at_once(self) -> Step | None:
        """Mend the likeliest with no more looks; None when nobody is sure of what accuses it."""
        sure = (fault for fault in self.standing.shares if self.standing.surely(self.standing.accused[fault]))
        fault = next(sure, None)
        if fault is None:
            return None
        return self.steps.mend(fault, f"{self.looking.check_names(self.standing.accused[fault])} showed it.")

    def outvoted(self, checks: Iterable[str]) -> Step | None:
        """Mend the likeliest that these checks accuse and another look has outvoted: they have shown it twice."""
        mended = [
            fault
            for fault, by in self.standing.pointed_at.items()
            if self.scope.faults[fault].mechanical
            and set(by) & set(checks)
            and self.standing.surely(by)
            and fault not in self.state.deferred
            and not self._held_back(fault)
        ]
        if not mended:
            return None
        fault = max(mended, key=lambda one: (self._rate(one), one))
        names = self.looking.check_names(name for name in self.standing.pointed_at[fault] if name in set(checks))
        return self._comes_first(fault) or self.steps.mend(fault, f"{names} showed it, and shows it again.")

    def _rate(self, fault: str) -> float:
        """Return the belief in a fault for each minute of its mend."""
        return self.standing.chances.get(fault, 0.0) / max(self.scope.faults[fault].mend.minutes, 0.1)

    def _goes_home(self, fault: str) -> bool:
        """Say whether the step that stands here sends every screw home, in no more minutes than this mend of one."""
        node, mend = self.standing.node, self.scope.faults[fault].mend
        if self.standing.position.lost or not isinstance(node, Prepare):
            return False
        prepared = self.scope.knowledge.preparations[node.prepare]
        return prepared.back and mend.back and prepared.minutes <= mend.minutes

    def _not_mended(self) -> Step:
        """Go on looking while there is something to look at; what was found and not mended ends in a hand-over."""
        node = self.standing.node
        stands = not self.standing.position.lost
        if stands and isinstance(node, Sweep) and (step := self.looking.swept(node)).kind == "ask":
            return step
        ready = [fault for fault in self.standing.found if not self._held_back(fault)]
        found = ready or list(self.standing.found)
        if not found:
            names = self.looking.fault_names(self.standing.accused)
            return self.steps.refer(f"One look showed it, and a later one did not: {names}. Let somebody else look.")
        names = self.looking.fault_names(found)
        return self.steps.refer(f"Found, and not mended yet: {names}. Mend that first; then walk on from here.")

    def _late(self, fault: str, now: float) -> str:
        """Return a warning when the mend does not fit the minutes that are left."""
        if self.state.deadline is None:
            return ""
        left = self.state.deadline[1] - (now - self.state.deadline[0]) / 60
        needed = self.scope.faults[fault].mend.minutes
        return "" if needed <= left else f" It takes {needed:g} minutes, and does not fit the time that is left."

    def _one_mend(self, shares: dict[str, float]) -> bool:
        return len({self.scope.faults[f].mend.do for f, share in shares.items() if share >= LEAST_SHARE}) == 1

    def _telling_apart(self, shares: dict[str, float]) -> Step | None:
        """Return the check that takes most off the doubt per minute; a strip-down only when no first look does.

        What is outvoted has a share as well, and is in no doubt here: the shares of the rest are scaled to one, or
        every look would seem to tell something apart.
        """
        shares = bel.normalised(shares)
        for look in ("first", "strip"):
            best: tuple[float, str] | None = None
            for name in self.looking.open_checks(look):
                check = self.scope.checks[name]
                bits = bel.gain(shares, (self._of_faults(name, answer, shares) for answer in check.answers))
                if bits < LEAST_GAIN:
                    continue
                value = bits / max(self.steps.minutes(check.state, check.minutes), 0.1)
                if best is None or (value, name) > best:
                    best = (value, name)
            if best is not None and (look == "first" or self._worth(best[1], shares)):
                names = self.looking.fault_names(list(shares)[:3])
                return self.looking.ask(best[1], f"It tells apart: {names}.")
        return None

    def _worth(self, name: str, shares: dict[str, float]) -> bool:
        """Say whether looking costs less than what it saves of mending in the wrong order (CACM 38(3), eq. 3)."""
        check = self.scope.checks[name]
        now = self._mending(shares)
        then = self.steps.minutes(check.state, check.minutes)
        for answer in check.answers:
            likelihood = self._of_faults(name, answer, shares)
            joint = {fault: share * likelihood.of(fault) for fault, share in shares.items()}
            then += sum(joint.values()) * self._mending(bel.normalised(joint))
        return then < now

    def _of_faults(self, check: str, answer: str, faults: Iterable[str]) -> Likelihood:
        """Return P(answer | fault) as far as the forms of the faults are known."""
        return self.standing.forms.now(self.scope.answer(check, answer), faults)

    def _mending(self, shares: dict[str, float]) -> float:
        """Return the expected minutes of mending in the best order: Σ p_i Σ_{j≤i} c_j."""
        retest = self.standing.symptom.retest.minutes
        costs = {fault: self.scope.faults[fault].mend.minutes + retest for fault in shares}
        spent = total = 0.0
        for fault in sorted(shares, key=lambda f: (-shares[f] / max(costs[f], 0.1), f)):
            spent += costs[fault]
            total += shares[fault] * spent
        return total
