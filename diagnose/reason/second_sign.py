"""A second sign before a mend: another look, or the same once more, while it costs less than a mend in vain."""

from __future__ import annotations

from collections.abc import Iterable

from diagnose.reason import plain
from diagnose.reason.beforehand import ASKED_AGAIN
from diagnose.reason.looking import Looking
from diagnose.reason.view import Step

PUT_OFF = 20.0
"""Minutes that it costs to come back to the right mend later. A judgement; 10 to 35 measure alike."""

MOST_LOOKS = 3
"""No check is made more often than this: of three looks two agree."""


class SecondSign:
    """The second signs of one standing."""

    def __init__(self, looking: Looking) -> None:
        self.looking, self.steps = looking, looking.steps
        self.standing, self.scope, self.state = looking.standing, looking.scope, looking.state

    def next(self, fault: str, accusers: list[str], *, home: bool) -> Step | None:
        """Return another look that can show the fault, or the same once more, while it costs less than it saves.

        When nobody was sure of what accuses, one is always asked for. Where the screws go `home` whatever another look
        would say, only the look that sends them there is made again.
        """
        form = self.standing.forms.likeliest(fault)
        can_show = (name for name in self.looking.open_checks("first") if form in self.scope.clears(name))
        others = [] if home else [name for name in can_show if not self.looking.tries_the_danger(name)]
        again = [name for name in accusers if self._may_be_repeated(name)]
        sure = self.standing.surely(accusers)
        looks = [*others, *again] if sure else others or again
        saved = {name: self._saved(name, fault, accusers[0]) for name in looks}
        chosen = [name for name in saved if not sure or saved[name] > 0] or self._another_way(fault, accusers, others)
        if not chosen:
            return self._opened_first(fault, accusers[0], form) if not home else None
        never_made = [name for name in chosen if name in others]
        best = max(never_made or chosen, key=lambda name: (saved[name], name))
        if best in others:
            named = self.standing.forms.name(fault)
            return self.looking.demanded(best, f"One more sign before that is mended: {named}.")
        slip = "a look can be mistaken, and a mend in vain costs more" if sure else "you were not quite sure"
        return self.looking.demanded(best, f"Look once more: {slip}.")

    def _opened_first(self, fault: str, accuser: str, form: str) -> Step | None:
        """Return the strip-down that costs less than it saves before a long mend that is in doubt."""
        able = (name for name in self.looking.open_checks("strip") if form in self.scope.clears(name))
        saved = {name: self._saved(name, fault, accuser) for name in able}
        best = max(saved, key=lambda name: (saved[name], name), default="")
        if not best or saved[best] <= 0:
            return None
        return self.looking.demanded(best, f"One more sign before that is mended: {self.standing.forms.name(fault)}.")

    def _another_way(self, fault: str, accusers: list[str], others: list[str]) -> list[str]:
        """Return the looks that come before a long mend which one look has shown: different ones that cost less.

        Where no different look can show it, the same is made once more.
        """
        if plain.quick(self.scope, fault) or len(accusers) > 1:
            return []
        again = [
            name for name in accusers if self.state.asked.get(name, 0) < ASKED_AGAIN and self._may_be_repeated(name)
        ]
        return self._cheaper(others, fault) or self._cheaper(again, fault)

    def _cheaper(self, names: Iterable[str], fault: str) -> list[str]:
        """Return the looks that take fewer minutes than the mend."""
        checks, mend = self.scope.checks, self.scope.faults[fault].mend.minutes
        return [name for name in names if self.steps.minutes(checks[name].state, checks[name].minutes) < mend]

    def _may_be_repeated(self, name: str) -> bool:
        """Say whether a check that accuses can be made once more now."""
        check = self.scope.checks[name]
        return (
            not check.remembered
            and self.state.asked.get(name, 0) < (MOST_LOOKS if self.wavered(name) else ASKED_AGAIN)
            and self.looking.may_be_made(check)
        )

    def wavered(self, name: str) -> bool:
        """Say whether the same look has come out healthy before: what shows each time would only show once more."""
        return any(self.scope.checks[name].answers[one.answer].healthy for one in self.state.answers[name].earlier)

    def _saved(self, name: str, fault: str, accuser: str) -> float:
        """Return the minutes that a second sign is expected to save, its own taken off.

        A mend in vain costs M = mend + check + re-test. With p the chance that the fault is there, s that the look
        shows it, and e that it comes out unhealthy without it, the look spares (1 - p)(1 - e) M in vain. It also puts
        off p(1 - s) of the right mends, until the looks after it lead back to them: `PUT_OFF` minutes, or the mend
        itself where that is less. This is the question test of Heckerman, Breese and Rommelse (CACM 38(3), 1995) for a
        single mend.
        """
        check, chances = self.scope.checks[name], self.standing.chances
        shown, there = self.standing.forms.now(self.scope.shown(name), chances), chances.get(fault, 0.0)
        alarm = sum(share * shown.of(other) for other, share in chances.items() if other != fault)
        in_vain = self.scope.faults[fault].mend.minutes + self.standing.symptom.retest.minutes
        in_vain += self.scope.checks[accuser].minutes
        vain, late = in_vain * (1 - there - alarm), min(in_vain, PUT_OFF) * there * (1 - shown.of(fault))
        return vain - late - self.steps.minutes(check.state, check.minutes)
