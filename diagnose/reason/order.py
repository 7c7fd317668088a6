"""In which order to look: most chance of showing a fault per minute, bench states and shared looks counted.

What is minimised is the expected minutes until an answer shows a fault, or until every owed fault is looked for:
ECR = Σ minutes_i · P(nothing shown before i) (Jensen et al., AI EDAM 15, 2001; theory in docs/reasoning.md). With
dependent looks and dependent minutes the exact optimum is NP-hard (Vomlelová, 2003), so this is a rollout: a greedy
order by efficiency, where a whole bench state may be taken as one cluster, tried behind each first look, then
improved by single moves.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import combinations, pairwise
from math import inf
from typing import NamedTuple

MinutesBetween = Callable[[str, str], float]
"""The minutes from one bench state to another."""

ROUNDS = 3
TRIED_FIRST = 4


class PlannedLook(NamedTuple):
    """A check as the planner sees it."""

    id: str
    minutes: float
    state: str
    shown: Mapping[str, float]
    """P(an unhealthy answer | fault), for the faults it names."""
    otherwise: float
    """The same for any other fault."""
    clears: frozenset[str]
    """The faults that a healthy answer looks for."""


class Prospect(NamedTuple):
    """What the order is planned against."""

    belief: Mapping[str, float]
    owed: frozenset[str]
    state: str
    change: MinutesBetween


def cost(sequence: Sequence[PlannedLook], bench: Prospect) -> float:
    """Return the expected minutes of a sequence that stops at the first unhealthy answer."""
    left = dict(bench.belief)
    state, total, alive = bench.state, 0.0, 1.0
    for look in sequence:
        total += alive * (look.minutes + bench.change(state, look.state))
        left = _after(left, look)
        alive = sum(left.values())
        state = look.state
    return total


def minutes(sequence: Sequence[PlannedLook], bench: Prospect) -> float:
    """Return the minutes of a sequence in which every answer is healthy."""
    states = [bench.state, *(look.state for look in sequence)]
    changes = sum(bench.change(a, b) for a, b in pairwise(states))
    return changes + sum(look.minutes for look in sequence)


def efficiency(look: PlannedLook, left: Mapping[str, float], state: str, change: MinutesBetween) -> float:
    """Return the chance of an unhealthy answer per minute."""
    chance = sum(left.values()) - sum(_after(left, look).values())
    return chance / max(look.minutes + change(state, look.state), 1e-9)


def plan(looks: Sequence[PlannedLook], bench: Prospect) -> tuple[PlannedLook, ...]:
    """Return the looks to make, in order, so that everything owed that they can look for is looked for."""
    useful = sorted((look for look in looks if look.clears & bench.owed), key=lambda look: look.id)
    return _Planner(useful, bench).plan() if useful else ()


def within(looks: Sequence[PlannedLook], bench: Prospect, budget: float) -> tuple[PlannedLook, ...]:
    """Return the looks that are likeliest to show a fault in the minutes left, quickest gain first."""
    useful = [look for look in looks if look.clears & bench.owed and look.minutes <= budget]
    useful.sort(key=lambda look: (-efficiency(look, bench.belief, bench.state, bench.change), look.id))
    best: tuple[PlannedLook, ...] = ()
    found = 0.0
    for count in range(1, len(useful[:10]) + 1):
        for chosen in combinations(useful[:10], count):
            grouped = tuple(sorted(chosen, key=lambda look: (look.state != bench.state, look.state)))
            if minutes(grouped, bench) > budget:
                continue
            left = dict(bench.belief)
            for look in grouped:
                left = _after(left, look)
            shown = 1 - sum(left.values())
            if shown > found + 1e-12:
                best, found = grouped, shown
    return best


def _after(left: Mapping[str, float], look: PlannedLook) -> dict[str, float]:
    """Return the belief mass that is still alive when the look came out healthy."""
    shown, otherwise = look.shown, look.otherwise
    return {fault: mass * (1 - shown.get(fault, otherwise)) for fault, mass in left.items()}


class _Planner:
    """One sweep being planned: looks by number, sets of looks and of faults as bit masks.

    What is still alive after a set of healthy answers does not depend on their order, so it is kept by set.
    """

    def __init__(self, looks: Sequence[PlannedLook], bench: Prospect) -> None:
        self.looks = looks
        bits = {fault: 1 << n for n, fault in enumerate(sorted(bench.owed))}
        self.clears = [sum(bits[fault] for fault in look.clears if fault in bits) for look in looks]
        self.owed = 0
        for cleared in self.clears:
            self.owed |= cleared
        alike: dict[tuple[float, ...], float] = {}  # what no look here tells apart is planned for as one
        for fault, mass in bench.belief.items():
            healthy = tuple(1 - look.shown.get(fault, look.otherwise) for look in looks)
            alike[healthy] = alike.get(healthy, 0.0) + mass
        self.healthy = list(zip(*alike, strict=True))
        masses = list(alike.values())
        self.left: dict[int, tuple[list[float], float]] = {0: (masses, sum(masses))}
        here = len(looks)
        states = [*(look.state for look in looks), bench.state]
        self.spent = [
            [bench.change(states[before], look.state) + look.minutes for look in looks] for before in range(here + 1)
        ]
        """Minutes of a look, after another one (or, in the last row, at the start)."""

    def plan(self) -> tuple[PlannedLook, ...]:
        """Try every promising first look, keep the cheapest order behind it, and improve that."""
        start = len(self.looks)
        everything = range(start)
        first = sorted(everything, key=lambda i: (-self._chance(0, i) / max(self.spent[start][i], 1e-9), i))
        tried = [self._pruned(self._completed(i)) for i in first[:TRIED_FIRST]]
        best = self._improved(min(tried, key=lambda order: (self._cost(order), order)))
        return tuple(self.looks[i] for i in best)

    def _alive(self, done: int) -> float:
        return self.left[done][1]

    def _with(self, done: int, look: int) -> int:
        """Return the set with one more look, its survivors known."""
        grown = done | 1 << look
        if grown not in self.left:
            masses = [mass * healthy for mass, healthy in zip(self.left[done][0], self.healthy[look], strict=True)]
            self.left[grown] = (masses, sum(masses))
        return grown

    def _chance(self, done: int, look: int) -> float:
        return self._alive(done) - self._alive(self._with(done, look))

    def _cost(self, order: tuple[int, ...], most: float = inf) -> float:
        """Return the expected minutes; an order that is dearer than `most` is not counted to its end."""
        done, before, total, known = 0, len(self.looks), 0.0, self.left
        for look in order:
            total += known[done][1] * self.spent[before][look]
            if total > most:
                return inf
            done, before = done | 1 << look, look
            if done not in known:
                self._with(done ^ 1 << look, look)
        return total

    def _covers(self, order: tuple[int, ...]) -> bool:
        cleared = 0
        for look in order:
            cleared |= self.clears[look]
        return cleared == self.owed

    def _completed(self, first: int) -> tuple[int, ...]:
        """Add looks greedily, the best cluster first, until everything owed is covered."""
        order, done, owed = [first], self._with(0, first), self.owed & ~self.clears[first]
        while owed:
            rest = [i for i in range(len(self.looks)) if not done >> i & 1 and self.clears[i] & owed]
            chosen = max(rest, key=lambda i: (self._cluster(i, rest, done, order[-1]), -i))
            order.append(chosen)
            done, owed = self._with(done, chosen), owed & ~self.clears[chosen]
        return tuple(order)

    def _cluster(self, look: int, rest: Sequence[int], done: int, before: int) -> float:
        """Return the efficiency of a look, or of the best run of looks that shares the change into its bench state.

        Taking a cluster at its best prefix is optimal for independent looks (Ottosen and Jensen, arXiv 1203.3502).
        """
        spent = self.spent[before][look]
        best = self._chance(done, look) / max(spent, 1e-9)
        state = self.looks[look].state
        if state == self.looks[before].state:
            return best
        now = self._with(done, look)
        mates = [i for i in rest if i != look and self.looks[i].state == state]
        mates.sort(key=lambda i: (-self._chance(now, i) / max(self.spent[look][i], 1e-9), i))
        for mate in mates:
            now, spent = self._with(now, mate), spent + self.spent[look][mate]
            best = max(best, (self._alive(done) - self._alive(now)) / max(spent, 1e-9))
        return best

    def _pruned(self, order: tuple[int, ...]) -> tuple[int, ...]:
        """Leave out looks that the others make needless, dearest first, while that costs nothing."""
        while True:
            once = twice = 0
            for look in order:
                twice |= once & self.clears[look]
                once |= self.clears[look]
            needless = [look for look in order if not self.clears[look] & ~twice]
            spent = self._cost(order) if needless else 0.0
            for look in sorted(needless, key=lambda i: (-self.looks[i].minutes, i)):
                without = tuple(other for other in order if other != look)
                if self._cost(without, spent) <= spent:
                    order = without
                    break
            else:
                return order

    def _improved(self, order: tuple[int, ...]) -> tuple[int, ...]:
        """Move, swap in, leave out or add single looks while that saves expected minutes."""
        spent = self._cost(order)
        for _ in range(ROUNDS):
            best, least = order, spent
            for option in self._moves(order):
                if (now := self._cost(option, least)) < least - 1e-9 and self._covers(option):
                    best, least = option, now
            if best is order:
                break
            order, spent = best, least
        return order

    def _moves(self, order: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
        new = [i for i in range(len(self.looks)) if i not in order]
        for index, look in enumerate(order):
            rest = (*order[:index], *order[index + 1 :])
            yield rest
            yield from ((*rest[:at], look, *rest[at:]) for at in range(len(order)) if at != index)
            yield from ((*order[:index], other, *order[index + 1 :]) for other in new)
        for other in new:
            yield from (self._pruned((*order[:at], other, *order[at:])) for at in range(len(order) + 1))
