"""In which order to look: most chance of showing a fault per minute, bench states and shared looks counted.

What is minimised is the expected minutes until an answer shows a fault, or until every owed fault is looked for:
ECR = Σ minutes_i · P(nothing shown before i) (Jensen et al., AI EDAM 15, 2001; theory in docs/reasoning.md). With
dependent looks and dependent minutes the exact optimum is NP-hard (Vomlelová, 2003), so this is a rollout: a greedy
order by efficiency, where a whole bench state may be taken as one cluster, tried behind each first look, then
improved by single moves.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import combinations, pairwise
from math import inf
from operator import mul
from typing import NamedTuple

MinutesBetween = Callable[[str, str], float]
"""The minutes from one bench state to another."""

ROUNDS = 3
TRIED_FIRST = 4

KEPT = 4096
"""Orders that are kept: a few kB each."""


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
    return tuple(useful[i] for i in _solved(_puzzle(useful, bench))) if useful else ()


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


class _Since(NamedTuple):
    """What some looks have come to: the set of them, the last one, and the expected minutes."""

    done: int
    before: int
    total: float


class _Puzzle(NamedTuple):
    """All that an order depends on: looks by number, sets of them as bit masks, faults that no look tells apart as one.

    Walks in different knowledge come to the same puzzle, where what differs is not at stake.
    """

    masses: tuple[float, ...]
    healthy: tuple[tuple[float, ...], ...]
    """By look: P(healthy | fault), for each of the masses."""
    clears: tuple[int, ...]
    minutes: tuple[float, ...]
    states: tuple[str, ...]
    spent: tuple[tuple[float, ...], ...]
    """Minutes of a look, after another one (or, in the last row, at the start)."""


def _puzzle(looks: Sequence[PlannedLook], bench: Prospect) -> _Puzzle:
    bits = {fault: 1 << n for n, fault in enumerate(sorted(bench.owed))}
    alike: dict[tuple[float, ...], float] = {}
    for fault, mass in bench.belief.items():
        healthy = tuple([1 - look.shown.get(fault, look.otherwise) for look in looks])
        alike[healthy] = alike.get(healthy, 0.0) + mass
    states = tuple(look.state for look in looks)
    return _Puzzle(
        tuple(alike.values()),
        tuple(zip(*alike, strict=True)),
        tuple(sum(bits[fault] for fault in look.clears if fault in bits) for look in looks),
        tuple(look.minutes for look in looks),
        states,
        tuple(tuple(bench.change(one, look.state) + look.minutes for look in looks) for one in (*states, bench.state)),
    )


@lru_cache(maxsize=KEPT)
def _solved(puzzle: _Puzzle) -> tuple[int, ...]:
    return _Planner(puzzle).plan()


class _Planner:
    """One sweep being planned: sets of looks as bit masks.

    What is still alive after a set of healthy answers does not depend on their order, so it is kept by set.
    """

    def __init__(self, puzzle: _Puzzle) -> None:
        masses, self.healthy, self.clears, self.minutes, self.states, self.spent = puzzle
        self.owed = self._cleared(range(len(self.clears)))
        self.left: dict[int, list[float]] = {0: list(masses)}
        self.alive: dict[int, float] = {0: sum(masses)}
        here = len(self.clears)
        self.start = _Since(0, here, 0.0)

    def plan(self) -> tuple[int, ...]:
        """Try every promising first look, keep the cheapest order behind it, and improve that."""
        start = len(self.clears)
        everything = range(start)
        first = sorted(everything, key=lambda i: (-self._chance(0, i) / max(self.spent[start][i], 1e-9), i))
        tried = [self._pruned(self._completed(i)) for i in first[:TRIED_FIRST]]
        return self._improved(min(tried, key=lambda order: (self._cost(order), order)))

    def _with(self, done: int, look: int) -> float:
        """Return the mass that is alive after a set of looks and one more, and keep its survivors."""
        grown = done | 1 << look
        if grown not in self.alive:
            self.left[grown] = list(map(mul, self.left[done], self.healthy[look]))
            self.alive[grown] = sum(self.left[grown])
        return self.alive[grown]

    def _chance(self, done: int, look: int) -> float:
        return self.alive[done] - self._with(done, look)

    def _cost(self, order: Sequence[int], most: float = inf, since: _Since | None = None) -> float:
        """Return the expected minutes; an order that is dearer than `most` is not counted to its end.

        `since` is what the looks before these have come to.
        """
        done, before, total = since or self.start
        alive = self.alive
        for look in order:
            total += alive[done] * self.spent[before][look]
            if total > most:
                return inf
            grown = done | 1 << look
            if grown not in alive:
                self._with(done, look)
            done, before = grown, look
        return total

    def _completed(self, first: int) -> tuple[int, ...]:
        """Add looks greedily, the best cluster first, until everything owed is covered."""
        order, done, owed = [first], 1 << first, self.owed & ~self.clears[first]
        self._with(0, first)
        while owed:
            rest = [i for i in range(len(self.clears)) if not done >> i & 1 and self.clears[i] & owed]
            chosen = max(rest, key=lambda i: (self._cluster(i, rest, done, order[-1]), -i))
            order.append(chosen)
            self._with(done, chosen)
            done, owed = done | 1 << chosen, owed & ~self.clears[chosen]
        return tuple(order)

    def _cluster(self, look: int, rest: Sequence[int], done: int, before: int) -> float:
        """Return the efficiency of a look, or of the best run of looks that shares the change into its bench state.

        Taking a cluster at its best prefix is optimal for independent looks (Ottosen and Jensen, arXiv 1203.3502).
        """
        spent = self.spent[before][look]
        best = self._chance(done, look) / max(spent, 1e-9)
        state = self.states[look]
        if before < len(self.states) and state == self.states[before]:
            return best
        now = done | 1 << look
        mates = [i for i in rest if i != look and self.states[i] == state]
        mates.sort(key=lambda i: (-self._chance(now, i) / max(self.spent[look][i], 1e-9), i))
        for mate in mates:
            left, spent = self._with(now, mate), spent + self.spent[look][mate]
            now |= 1 << mate
            best = max(best, (self.alive[done] - left) / max(spent, 1e-9))
        return best

    def _pruned(self, order: tuple[int, ...]) -> tuple[int, ...]:
        """Leave out looks that the others make needless, dearest first, while that costs nothing."""
        while needless := self._needless(order):
            spent = self._cost(order)
            for look in needless:
                without = tuple(other for other in order if other != look)
                if self._cost(without, spent) <= spent:
                    order = without
                    break
            else:
                break
        return order

    def _needless(self, order: Iterable[int]) -> list[int]:
        """Return the looks that the others make needless, dearest first."""
        once = twice = 0
        for look in order:
            twice |= once & self.clears[look]
            once |= self.clears[look]
        needless = [look for look in order if not self.clears[look] & ~twice]
        return sorted(needless, key=lambda i: (-self.minutes[i], i))

    def _improved(self, order: tuple[int, ...]) -> tuple[int, ...]:
        """Move, swap in, leave out or add single looks while that saves expected minutes."""
        spent = self._cost(order)
        for _ in range(ROUNDS):
            best, least, since = order, spent, self._each(order)
            for same, onward in self._moves(order):
                if (now := self._cost(onward, least, since[same])) < least - 1e-9:
                    best, least = (*order[:same], *onward), now
            for option in self._added(order, since):
                if (now := self._cost(option, least)) < least - 1e-9:
                    best, least = option, now
            if best is order:
                break
            order, spent = best, least
        return order

    def _each(self, order: tuple[int, ...]) -> list[_Since]:
        """Return what the looks before each one of an order come to, and all of them."""
        found = [self.start]
        for look in order:
            done, before, total = found[-1]
            found.append(_Since(done | 1 << look, look, total + self.alive[done] * self.spent[before][look]))
        return found

    def _moves(self, order: tuple[int, ...]) -> Iterator[tuple[int, tuple[int, ...]]]:
        """Yield the orders that have one look less, moved or swapped and cover everything owed: same, and then."""
        new = [i for i in range(len(self.clears)) if i not in order]
        for index, look in enumerate(order):
            before, after = order[:index], order[index + 1 :]
            missed = self.owed & ~self._cleared((*before, *after))
            if not missed:
                yield index, after
            yield from ((at, (look, *before[at:], *after)) for at in range(index))
            yield from ((index, (*after[:at], look, *after[at:])) for at in range(1, len(after) + 1))
            yield from ((index, (other, *after)) for other in new if not missed & ~self.clears[other])

    def _added(self, order: tuple[int, ...], since: Sequence[_Since]) -> Iterator[tuple[int, ...]]:
        """Yield the orders with one look more, without what that makes needless."""
        yield self._pruned(order)  # where it is the new look itself that is left out again
        before = since[-1].total
        for new in range(len(self.clears)):
            if new in order:
                continue
            needless = self._needless((*order, new))
            for at in range(len(order) + 1):
                grown = (*order[:at], new, *order[at:])
                spent = self._cost(grown[at:], inf, since[at])
                for look in needless:
                    if look == new:
                        if before <= spent:
                            break
                        continue
                    where = grown.index(look)
                    without = (*grown[:where], *grown[where + 1 :])
                    same = min(at, where)
                    if self._cost(without[same:], spent, since[same]) <= spent:
                        yield self._pruned(without)
                        break
                else:
                    yield grown

    def _cleared(self, order: Iterable[int]) -> int:
        cleared = 0
        for look in order:
            cleared |= self.clears[look]
        return cleared
