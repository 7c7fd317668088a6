"""In which order to look: most chance of showing a fault per minute, bench states and shared looks counted.

What is minimised is the expected minutes until an answer shows a fault, or until every owed fault is looked for:
ECR = Σ minutes_i · P(nothing shown before i) (Jensen et al., AI EDAM 15, 2001; theory in docs/reasoning.md). With
dependent looks and dependent minutes the exact optimum is NP-hard (Vomlelová, 2003), so this is a rollout: a greedy
order by efficiency, where a whole bench state may be taken as one cluster, tried behind each first look, then
improved by single moves.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from math import inf
from operator import mul
from typing import NamedTuple

from diagnose.reason.order import PlannedLook, Prospect, RoundLine, goes_on

ROUNDS = 3
TRIED_FIRST = 4
KEPT = 4096
"""Orders that are kept by what they depend on."""


def plan(looks: Sequence[PlannedLook], bench: Prospect) -> tuple[PlannedLook, ...]:
    """Return the looks to make, in order, so that everything owed that they can look for is looked for."""
    useful = sorted((look for look in looks if look.clears & bench.owed), key=lambda look: look.id)
    return tuple(useful[i] for i in _solved(_puzzle(useful, bench))) if useful else ()


class _Since(NamedTuple):
    """What some looks have come to: the set of them, the last one, the longest line of its round, expected minutes."""

    done: int
    before: int
    longest: float
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
    lines: tuple[RoundLine | None, ...]
    spent: tuple[tuple[float, ...], ...]
    """Minutes of a look, after another one (or, in the last row, at the start), when no round goes on."""
    goes_on: tuple[tuple[bool, ...], ...]
    """Whether it goes on with the round of that other one."""
    longest: float


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
        tuple(look.line for look in looks),
        tuple(tuple(bench.change(one, look.state) + look.minutes for look in looks) for one in (*states, bench.state)),
        tuple(tuple(goes_on(look, before) for look in looks) for before in (*looks, bench.before)),
        bench.longest,
    )


@lru_cache(maxsize=KEPT)
def _solved(puzzle: _Puzzle) -> tuple[int, ...]:
    return _Planner(puzzle).plan()


class _Planner:
    """One sweep being planned: sets of looks as bit masks.

    What is still alive after a set of healthy answers does not depend on their order, so it is kept by set.
    """

    def __init__(self, puzzle: _Puzzle) -> None:
        masses, self.healthy, self.clears, self.minutes, self.states, self.lines, self.spent, self.goes_on, _ = puzzle
        self.share = [line.share if line is not None else 1.0 for line in self.lines]
        self.owed = self._cleared(range(len(self.clears)))
        self.left: dict[int, list[float]] = {0: list(masses)}
        self.alive: dict[int, float] = {0: sum(masses)}
        self.start = _Since(0, len(self.clears), puzzle.longest, 0.0)

    def plan(self) -> tuple[int, ...]:
        """Try every promising first look, keep the cheapest order behind it, and improve that."""
        start, everything = len(self.clears), range(len(self.clears))
        first = sorted(everything, key=lambda i: (-self._cluster(i, everything, 0, start, self.start.longest), i))
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

    def _took(self, look: int, before: int, longest: float) -> tuple[float, float]:
        """Return the minutes of a look after another, and the longest line of its round so far, as `in_a_row` does."""
        own = self.minutes[look]
        if not self.goes_on[before][look]:
            return self.spent[before][look], own
        if own > longest:
            return own - longest + self.share[look] * longest, own
        return self.share[look] * own, longest

    def _since(self, since: _Since, look: int) -> _Since:
        """Return what the looks come to with one more."""
        took, longest = self._took(look, since.before, since.longest)
        self._with(since.done, look)
        return _Since(since.done | 1 << look, look, longest, since.total + self.alive[since.done] * took)

    def _cost(self, order: Iterable[int], most: float = inf, since: _Since | None = None) -> float:
        """Return the expected minutes; an order that is dearer than `most` is not counted to its end.

        `since` is what the looks before these have come to. What `_took` does is written out: this is nearly all of
        what a plan costs.
        """
        done, before, longest, total = since or self.start
        alive, minutes, share, spent, goes = self.alive, self.minutes, self.share, self.spent, self.goes_on
        for look in order:
            own = minutes[look]
            if not goes[before][look]:
                took, longest = spent[before][look], own
            elif own > longest:
                took, longest = own - longest + share[look] * longest, own
            else:
                took = share[look] * own
            total += alive[done] * took
            if total > most:
                return inf
            grown = done | 1 << look
            if grown not in alive:
                self._with(done, look)
            done, before = grown, look
        return total

    def _completed(self, first: int) -> tuple[int, ...]:
        """Add looks greedily, the best cluster first, until everything owed is covered."""
        order, since, owed = [first], self._since(self.start, first), self.owed & ~self.clears[first]
        while owed:
            rest = [i for i in range(len(self.clears)) if not since.done >> i & 1 and self.clears[i] & owed]
            chosen = max(rest, key=lambda i: (self._cluster(i, rest, since.done, since.before, since.longest), -i))
            order.append(chosen)
            since, owed = self._since(since, chosen), owed & ~self.clears[chosen]
        return tuple(order)

    def _cluster(self, look: int, rest: Sequence[int], done: int, before: int, longest: float) -> float:
        """Return the efficiency of a look, or of the best run of looks that shares its bench state or its round.

        Taking a cluster at its best prefix is optimal for independent looks (Ottosen and Jensen, arXiv 1203.3502).
        """
        spent, longest = self._took(look, before, longest)
        best = self._chance(done, look) / max(spent, 1e-9)
        if not (mates := self._mates(look, rest, before)):
            return best
        now = done | 1 << look
        mates.sort(key=lambda i: (-self._chance(now, i) / max(self._took(i, look, longest)[0], 1e-9), i))
        for mate in mates:
            took, most = self._took(mate, look, longest)
            if self.goes_on[look][mate]:
                longest = most
            left, spent = self._with(now, mate), spent + took
            now |= 1 << mate
            best = max(best, (self.alive[done] - left) / max(spent, 1e-9))
        return best

    def _mates(self, look: int, rest: Sequence[int], before: int) -> list[int]:
        """Return the looks that share the change into a bench state, or the round that begins."""
        state = self.states[look]
        if before == len(self.states) or state != self.states[before]:
            return [i for i in rest if i != look and self.states[i] == state]
        if self.goes_on[before][look]:
            return []
        return [i for i in rest if self.goes_on[look][i]]

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
        """Move, swap in, leave out or add single looks, or gather a round, while that saves expected minutes."""
        spent = self._cost(order)
        for _ in range(ROUNDS):
            best, least, since = order, spent, self._each(order)
            for same, onward in (*self._moves(order), *self._gathered(order)):
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
            found.append(self._since(found[-1], look))
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

    def _gathered(self, order: tuple[int, ...]) -> Iterator[tuple[int, tuple[int, ...]]]:
        """Make more of a round in one go, in the order of the hands, anywhere; then make any run of it elsewhere."""
        lines = {i: line for i in order if (line := self.lines[i]) is not None}
        for name in sorted({line.round for line in lines.values()}):
            mates = sorted((i for i in lines if lines[i].round == name), key=lambda i: lines[i].place)
            runs = [mates[:end] for end in range(2, len(mates) + 1)] + [mates[n:] for n in range(1, len(mates) - 1)]
            for run in runs:
                first = min(order.index(i) for i in run)
                rest = tuple(i for i in order if i not in run)
                for at in range(len(rest) + 1):
                    same = min(at, first)
                    yield same, (*rest[same:at], *run, *rest[at:])

    def _cleared(self, order: Iterable[int]) -> int:
        cleared = 0
        for look in order:
            cleared |= self.clears[look]
        return cleared
