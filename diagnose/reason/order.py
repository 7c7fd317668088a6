"""In which order to look: most chance of showing a fault per minute, bench states and shared looks counted.

What is minimised is the expected minutes until an answer shows a fault, or until every owed fault is looked for:
ECR = Σ minutes_i · P(nothing shown before i) (Jensen et al., AI EDAM 15, 2001; theory in docs/reasoning.md). With
dependent looks and dependent minutes the exact optimum is NP-hard (Vomlelová, 2003), so this is a rollout: a greedy
order by efficiency, where a whole bench state may be taken as one cluster, tried behind each first look, then
improved by single moves.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from math import inf
from typing import NamedTuple


class RoundLine(NamedTuple):
    """A look's place in a round: what is looked at in one go takes fewer minutes."""

    round: str
    place: int
    share: float
    """Which part of its own minutes it takes beside the longest line of the round."""


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
    line: RoundLine | None = None


class Prospect(NamedTuple):
    """What the order is planned against."""

    belief: Mapping[str, float]
    owed: frozenset[str]
    state: str
    change: MinutesBetween
    before: PlannedLook | None = None
    """The look that was made just now, and the longest line of its round so far: the round may go on."""
    longest: float = 0.0


def goes_on(look: PlannedLook, before: PlannedLook | None) -> bool:
    """Say whether a look goes on with the round of the one before it: a later line of the same hands."""
    if before is None or look.line is None or before.line is None:
        return False
    return look.line.round == before.line.round and look.line.place > before.line.place


def in_a_row(look: PlannedLook, before: PlannedLook | None, longest: float) -> tuple[float, float]:
    """Return the minutes of a look after another, and the longest line of its round so far.

    The longest line of a round takes its own minutes whole, and each other one its share of them.
    """
    if not goes_on(look, before):
        return look.minutes, look.minutes
    assert look.line is not None
    most = max(look.minutes, longest)
    return most - longest + look.line.share * (look.minutes + longest - most), most


def cost(sequence: Sequence[PlannedLook], bench: Prospect) -> float:
    """Return the expected minutes of a sequence that stops at the first unhealthy answer."""
    left = dict(bench.belief)
    total, alive = 0.0, 1.0
    for look, took in zip(sequence, each(sequence, bench), strict=True):
        total += alive * took
        left = _after(left, look)
        alive = sum(left.values())
    return total


def each(sequence: Sequence[PlannedLook], bench: Prospect) -> Iterator[float]:
    """Yield the minutes of each look of a sequence, with the change into its bench state."""
    before, state, longest = bench.before, bench.state, bench.longest
    for look in sequence:
        took, longest = in_a_row(look, before, longest)
        yield took + bench.change(state, look.state)
        before, state = look, look.state


def after(sequence: Sequence[PlannedLook], bench: Prospect) -> Prospect:
    """Return how the bench stands once these looks were made; what is believed stays as it is."""
    before, state, longest = bench.before, bench.state, bench.longest
    for look in sequence:
        _, longest = in_a_row(look, before, longest)
        before, state = look, look.state
    return bench._replace(before=before, state=state, longest=longest)


def minutes(sequence: Sequence[PlannedLook], bench: Prospect) -> float:
    """Return the minutes of a sequence in which every answer is healthy."""
    return sum(each(sequence, bench))


def efficiency(look: PlannedLook, left: Mapping[str, float], state: str, change: MinutesBetween) -> float:
    """Return the chance of an unhealthy answer per minute."""
    chance = sum(left.values()) - sum(_after(left, look).values())
    return chance / max(look.minutes + change(state, look.state), 1e-9)


def plan(looks: Sequence[PlannedLook], bench: Prospect) -> tuple[PlannedLook, ...]:
    """Return the looks to make, in order, so that everything owed that they can look for is looked for."""
    useful = sorted((look for look in looks if look.clears & bench.owed), key=lambda look: look.id)
    return _Planner(useful, bench).plan() if useful else ()


def within(looks: Sequence[PlannedLook], bench: Prospect, budget: float) -> tuple[PlannedLook, ...]:
    """Return the looks that are likeliest to show a fault in the minutes left, in the order in which they came.

    All that is owed is cut down till it fits: what shows least for the minutes that it takes goes first. Then whatever
    has room after all comes back.
    """
    chosen = [look for look in looks if look.clears & bench.owed]
    out: list[PlannedLook] = []
    while chosen and minutes(chosen, bench) > budget:
        out.append(min(chosen, key=lambda look: (_loss(chosen, look, bench), look.id)))
        chosen.remove(out[-1])
    for look in reversed(out):
        with_it = [one for one in looks if one in chosen or one is look]
        if minutes(with_it, bench) <= budget:
            chosen = with_it
    return tuple(chosen)


def _loss(chosen: Sequence[PlannedLook], look: PlannedLook, bench: Prospect) -> float:
    """Return the chance of an unhealthy answer that is lost without a look, per minute that is won."""
    without = [one for one in chosen if one is not look]
    won = minutes(chosen, bench) - minutes(without, bench)
    return (_still_hidden(without, bench) - _still_hidden(chosen, bench)) / max(won, 1e-9)


def _still_hidden(looks: Iterable[PlannedLook], bench: Prospect) -> float:
    """Return the chance that all of these looks come out healthy."""
    left = dict(bench.belief)
    for look in looks:
        left = _after(left, look)
    return sum(left.values())


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
        self.goes_on = [[goes_on(look, before) for look in looks] for before in (*looks, bench.before)]
        """Whether it goes on with the round of that other one."""
        self.first, self.longest = bench.before, bench.longest

    def plan(self) -> tuple[PlannedLook, ...]:
        """Try every promising first look, keep the cheapest order behind it, and improve that."""
        start = len(self.looks)
        everything = range(start)
        first = sorted(everything, key=lambda i: (-self._cluster(i, everything, 0, start, self.longest), i))
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

    def _took(self, look: int, before: int, longest: float) -> tuple[float, float]:
        """Return the minutes of a look after another, and the longest line of its round so far."""
        if not self.goes_on[before][look]:
            return self.spent[before][look], self.looks[look].minutes
        return in_a_row(self.looks[look], self.looks[before] if before < len(self.looks) else self.first, longest)

    def _cost(self, order: tuple[int, ...], most: float = inf) -> float:
        """Return the expected minutes; an order that is dearer than `most` is not counted to its end."""
        done, before, total, known, longest = 0, len(self.looks), 0.0, self.left, self.longest
        for look in order:
            if self.goes_on[before][look]:
                took, longest = self._took(look, before, longest)
            else:
                took, longest = self.spent[before][look], self.looks[look].minutes
            total += known[done][1] * took
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
        longest = self._took(first, len(self.looks), self.longest)[1]
        while owed:
            rest = [i for i in range(len(self.looks)) if not done >> i & 1 and self.clears[i] & owed]
            chosen = max(rest, key=lambda i: (self._cluster(i, rest, done, order[-1], longest), -i))
            longest = self._took(chosen, order[-1], longest)[1]
            order.append(chosen)
            done, owed = self._with(done, chosen), owed & ~self.clears[chosen]
        return tuple(order)

    def _cluster(self, look: int, rest: Sequence[int], done: int, before: int, longest: float) -> float:
        """Return the efficiency of a look, or of the best run of looks that shares its bench state or its round.

        Taking a cluster at its best prefix is optimal for independent looks (Ottosen and Jensen, arXiv 1203.3502).
        """
        spent, longest = self._took(look, before, longest)
        best = self._chance(done, look) / max(spent, 1e-9)
        if not (mates := self._mates(look, rest, before)):
            return best
        now = self._with(done, look)
        mates.sort(key=lambda i: (-self._chance(now, i) / max(self._took(i, look, longest)[0], 1e-9), i))
        for mate in mates:
            took, most = self._took(mate, look, longest)
            if self.goes_on[look][mate]:
                longest = most
            now, spent = self._with(now, mate), spent + took
            best = max(best, (self._alive(done) - self._alive(now)) / max(spent, 1e-9))
        return best

    def _mates(self, look: int, rest: Sequence[int], before: int) -> list[int]:
        """Return the looks that share the change into a bench state, or the round that begins."""
        state = self.looks[look].state
        if before == len(self.looks) or state != self.looks[before].state:
            return [i for i in rest if i != look and self.looks[i].state == state]
        if self.goes_on[before][look]:
            return []
        return [i for i in rest if self.goes_on[look][i]]

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
        yield from self._gathered(order)

    def _gathered(self, order: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
        """Make more of a round in one go, in the order of the hands, anywhere; then make any run of it elsewhere."""
        lines = {i: line for i in order if (line := self.looks[i].line) is not None}
        for name in sorted({line.round for line in lines.values()}):
            mates = sorted((i for i in lines if lines[i].round == name), key=lambda i: lines[i].place)
            runs = [mates[:end] for end in range(2, len(mates) + 1)] + [mates[n:] for n in range(1, len(mates) - 1)]
            for run in runs:
                if len(run) > 1:
                    rest = tuple(i for i in order if i not in run)
                    yield from ((*rest[:at], *run, *rest[at:]) for at in range(len(rest) + 1))
