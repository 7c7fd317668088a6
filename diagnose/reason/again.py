"""Looking once more before a walk is handed over: a look can miss, and who could not tell may be able to now."""

from __future__ import annotations

from diagnose.reason.beforehand import ASKED_AGAIN
from diagnose.reason.belief import OTHER
from diagnose.reason.events import CANT_TELL
from diagnose.reason.looking import Looking
from diagnose.reason.view import Step

SECOND_LOOKS = 10
"""No more checks than this are made a second time before a walk is handed over."""

WORTH_A_LOOK = 0.03
"""A look that comes out otherwise with less chance is not made again."""


class LookingAgain:
    """The second looks of one standing."""

    def __init__(self, looking: Looking) -> None:
        self.looking, self.steps = looking, looking.steps
        self.standing, self.scope, self.state = looking.standing, looking.scope, looking.state

    def next(self) -> Step | None:
        """Before handing over: the look that is likeliest, for its minutes, to come out otherwise a second time.

        A look can miss, and who could not tell may be able to now. This is the rule for searching with overlook (Chew,
        Annals of Mathematical Statistics 38:494, 1967): the misses so far are in the belief already.
        """
        put_off = self.standing.accused and not self.standing.shares
        if self.standing.position.lost or self.standing.dead_accusations or put_off:
            return None  # what was found explains it, or nothing that is known does: more looks would not
        for guard in self.scope.guards:
            again = self.state.unanswered.get(guard) == CANT_TELL and self.state.asked.get(guard, 0) < ASKED_AGAIN
            if again and guard != self.state.last:
                return self.steps.check(
                    guard, "Without it the engine stays off. Look once more, or with somebody else."
                )
        if len(self._looked_twice()) >= SECOND_LOOKS:
            return None
        best: tuple[float, str] | None = None
        for name in (*self._looked_once(), *self._not_looked()):
            if name == self.state.last:
                continue
            check = self.scope.checks[name]
            otherwise = self._otherwise(name)
            value = otherwise / max(self.steps.minutes(check.state, check.minutes), 0.1)
            if otherwise >= WORTH_A_LOOK and (best is None or (value, name) > best):
                best = (value, name)
        if best is None:
            return None
        why = self._because(best[1])
        step = self.looking.demanded(best[1], why)
        return self.steps.again(best[1], why) if step.id == best[1] else step

    def _because(self, name: str) -> str:
        """Say why a check is made again, or made at all, before a hand-over."""
        if name in self.state.answers:
            return "It is not cured yet, and a look can miss. This one is the likeliest to, for its minutes."
        if name in self.state.unanswered:
            return "It is not cured yet, and this could not be told before. Try once more, or with somebody else."
        return "It is not cured yet. One look pointed at what this can show, and another did not."

    def _looked_twice(self) -> list[str]:
        """Return the checks made again, apart from those that had accused something: their second look was a sign."""
        said = self.state.answers
        accused = {
            name
            for name, given in said.items()
            if any(not self.scope.checks[name].answers[one.answer].healthy for one in given.earlier)
        }
        return [name for name, count in self.state.asked.items() if count > 1 and name not in accused]

    def _looked_once(self) -> list[str]:
        """Return the first looks made once in this walk, and what nobody could tell, as far as they can be made now."""
        state, checks = self.state, self.scope.checks
        told = (n for n, given in state.answers.items() if not given.carried and checks[n].look == "first")
        untold = (name for name, why in state.unanswered.items() if why == CANT_TELL)
        return [
            name
            for name in (*told, *untold)
            if state.asked.get(name, 0) == 1
            and not checks[name].remembered
            and self.standing.makes_sense(name)
            and self.looking.may_be_made(checks[name])
            and (checks[name].state != "warm" or self.looking.warm_enough())
        ]

    def _not_looked(self) -> list[str]:
        """Return the first looks not made yet that can show what an outvoted answer points at."""
        pointed = self.standing.pointed_at.keys()
        return [
            name
            for name in self.looking.open_checks("first")
            if self.scope.clears(name) & pointed
            and (self.scope.checks[name].state != "warm" or self.looking.warm_enough())
        ]

    def _otherwise(self, name: str) -> float:
        """Return the chance that a check comes out otherwise than it did, or comes out at all."""
        given = self.state.answers.get(name)
        belief = {one: share for one, share in self.standing.held.items() if one != OTHER}
        if given is None:
            return sum(share * self.scope.shown(name).of(one) for one, share in belief.items())
        said = self.scope.answer(name, given.answer)
        return sum(share * (1 - said.of(one)) for one, share in belief.items())
