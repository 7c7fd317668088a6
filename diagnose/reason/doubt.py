"""What is still in doubt before a needle: a look that still accuses, and belief that a different look could find.

One look that misses strikes a common fault, and the sharper look at it is never asked. So while what is left of the
belief in mechanical faults is over a limit, the best look that was not made yet comes first, and the same one again
only when no other can show it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property

from diagnose.graph.model import fault_of
from diagnose.reason.belief import OTHER
from diagnose.reason.standing import Standing

LIMIT = 0.05
"""Belief in mechanical faults up to which a needle may be turned with no more looks.

Chosen on simulated engines of seeds 11 and 12: with 0.1 a needle was turned at 0.6 points more of the mechanical
faults, and no minutes were saved.
"""

WORTH = 0.02
"""A look that would show something with less chance is not made for it."""

PER_MINUTE = 0.005
"""The same for each of its minutes, before a needle: the look spares a turn at a fault."""

PAYS = 0.015
"""And before a strip-down or going back: with less chance a minute, those are quicker than the look."""

OPENS = 0.05
"""A strip-down that would show a fault with this chance comes before the first hour: 0.1 was 0.9 points worse."""


class Doubt:
    """What is left in doubt at one standing."""

    def __init__(self, standing: Standing) -> None:
        self.standing = standing
        self.scope, self.state = standing.scope, standing.state

    @cached_property
    def held(self) -> dict[str, float]:
        """The belief in each form of a mechanical fault, the most that it holds: nothing learned ends a doubt."""
        return self._mechanical(tempered=False)

    @cached_property
    def tempered(self) -> dict[str, float]:
        """The same, or what it holds where the screws hold less, if that is more: no look was made for their share."""
        return self._mechanical(tempered=True)

    def _mechanical(self, *, tempered: bool) -> dict[str, float]:
        faults, most = self.scope.faults, self.standing.at_most(self.standing.symptom_id, tempered=tempered)
        return {one: share for one, share in most.items() if one != OTHER and faults[fault_of(one)].mechanical}

    @property
    def left(self) -> float:
        """The belief in mechanical faults, all forms together."""
        return sum(self.held.values())

    @cached_property
    def still_shown(self) -> list[str]:
        """The first looks that still accuse a mechanical fault, whatever another look says of it.

        One that speaks of how a screw stands is explained by that.
        """
        return [name for name in self.standing.accusing if self.scope.checks[name].look == "first"]

    def look(self) -> str:
        """Return the best look for its minutes; one made before only when no other can show anything; "" for none."""
        again = self._made_once() if self.left > LIMIT else []
        return self.different(PER_MINUTE) or self._best(again, self.held, PER_MINUTE)

    def different(self, per_minute: float) -> str:
        """Return the best look that was not made yet; "" for none. Where screws hold much, they end no doubt here."""
        doubted = sum(self.tempered.values()) > LIMIT
        return self._best(self._never_made("first"), self.tempered, per_minute) if doubted else ""

    def strip(self) -> str:
        """Return the strip-down that would well show what no first look does; "" when none is likely enough to."""
        chances = {name: self._chance(name, self.held) for name in self._never_made("strip")}
        able = [name for name, chance in chances.items() if chance >= OPENS]
        return max(able, key=lambda name: (chances[name] / max(self._minutes(name), 0.1), name), default="")

    def could_show(self, name: str) -> list[str]:
        """Return the faults that a look could still show, the likeliest first."""
        masses = self.scope.summed({one: self.held[one] for one in self.held if one in self.scope.clears(name)})
        return sorted(masses, key=lambda fault: (-masses[fault], fault))

    def _best(self, names: Iterable[str], held: Mapping[str, float], per_minute: float) -> str:
        best = (0.0, "")
        for name in names:
            chance = self._chance(name, held)
            value = chance / max(self._minutes(name), 0.1)
            if chance >= WORTH and value >= per_minute:
                best = max(best, (value, name))
        return best[1]

    def _chance(self, name: str, held: Mapping[str, float]) -> float:
        """Return the chance that a look shows a fault that it can show well."""
        shown, clears = self.scope.shown(name), self.scope.clears(name)
        return sum(share * shown.of(one) for one, share in held.items() if one in clears)

    def _minutes(self, name: str) -> float:
        check = self.scope.checks[name]
        return check.minutes + self.scope.change(self.state.bench, check.state)

    def _never_made(self, look: str) -> list[str]:
        return [
            name
            for name in self.scope.looks(look)
            if name not in self.state.answers
            and name not in self.state.unanswered
            and self.standing.makes_sense(name)
            and (self.scope.swaps(name) not in self.state.swapped or self.scope.swaps(name) is None)
        ]

    def _made_once(self) -> list[str]:
        checks = self.scope.checks
        return [
            name
            for name, given in self.state.answers.items()
            if checks[name].look == "first"
            and not given.carried
            and not checks[name].remembered
            and self.standing.makes_sense(name)
            and self.state.asked.get(name, 0) == 1
            and name != self.state.last
            and checks[name].answers[given.answer].healthy
        ]
