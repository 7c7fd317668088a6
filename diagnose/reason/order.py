"""In which order to look: most chance of showing a fault per minute, bench states and shared looks counted.

What is minimised is the expected minutes until an answer shows a fault, or until every owed fault is looked for:
ECR = Σ minutes_i · P(nothing shown before i) (Jensen et al., AI EDAM 15, 2001; theory in docs/reasoning.md). With
dependent looks and dependent minutes the exact optimum is NP-hard (Vomlelová, 2003), so this is a rollout: a greedy
order by efficiency, where a whole bench state may be taken as one cluster, tried behind each first look, then
improved by single moves.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from itertools import combinations, pairwise
from typing import NamedTuple

Change = Callable[[str, str], float]
"""The minutes from one bench state to another."""

ROUNDS = 3
TRIED_FIRST = 8


class Look(NamedTuple):
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


class Bench(NamedTuple):
    """What the order is planned against."""

    belief: Mapping[str, float]
    owed: frozenset[str]
    state: str
    change: Change


def cost(sequence: Sequence[Look], bench: Bench) -> float:
    """Return the expected minutes of a sequence that stops at the first unhealthy answer."""
    left = dict(bench.belief)
    state, total, alive = bench.state, 0.0, 1.0
    for look in sequence:
        total += alive * (look.minutes + bench.change(state, look.state))
        left = _after(left, look)
        alive = sum(left.values())
        state = look.state
    return total


def minutes(sequence: Sequence[Look], bench: Bench) -> float:
    """Return the minutes of a sequence in which every answer is healthy."""
    states = [bench.state, *(look.state for look in sequence)]
    changes = sum(bench.change(a, b) for a, b in pairwise(states))
    return changes + sum(look.minutes for look in sequence)


def covers(sequence: Sequence[Look], owed: frozenset[str]) -> bool:
    """Say whether healthy answers to the sequence look for every owed fault."""
    return owed <= frozenset[str]().union(*(look.clears for look in sequence))


def efficiency(look: Look, left: Mapping[str, float], state: str, change: Change) -> float:
    """Return the chance of an unhealthy answer per minute."""
    chance = sum(left.values()) - sum(_after(left, look).values())
    return chance / max(look.minutes + change(state, look.state), 1e-9)


def plan(looks: Sequence[Look], bench: Bench) -> tuple[Look, ...]:
    """Return the looks to make, in order, so that everything owed that they can look for is looked for."""
    useful = sorted((look for look in looks if look.clears & bench.owed), key=lambda look: look.id)
    owed = bench.owed & frozenset[str]().union(*(look.clears for look in useful))
    if not owed:
        return ()
    bench = bench._replace(owed=owed)
    by_chance = sorted(useful, key=lambda look: (-efficiency(look, bench.belief, bench.state, bench.change), look.id))
    tried = [_pruned(_completed((first,), useful, bench), bench) for first in by_chance[:TRIED_FIRST]]
    best = min(tried, key=lambda sequence: (cost(sequence, bench), [look.id for look in sequence]))
    return _improved(best, useful, bench)


def within(looks: Sequence[Look], bench: Bench, budget: float) -> tuple[Look, ...]:
    """Return the looks that are likeliest to show a fault in the minutes left, quickest gain first."""
    useful = [look for look in looks if look.clears & bench.owed and look.minutes <= budget]
    useful.sort(key=lambda look: (-efficiency(look, bench.belief, bench.state, bench.change), look.id))
    best: tuple[Look, ...] = ()
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


def _after(left: Mapping[str, float], look: Look) -> dict[str, float]:
    """Return the belief mass that is still alive when the look came out healthy."""
    shown, otherwise = look.shown, look.otherwise
    return {fault: mass * (1 - shown.get(fault, otherwise)) for fault, mass in left.items()}


def _completed(start: tuple[Look, ...], looks: Sequence[Look], bench: Bench) -> tuple[Look, ...]:
    """Add looks greedily, the best cluster first, until everything owed is covered."""
    sequence, left, state, owed = list(start), dict(bench.belief), bench.state, set(bench.owed)
    for look in start:
        left, state = _after(left, look), look.state
        owed -= look.clears
    rest = [look for look in looks if look not in sequence]
    while owed:
        rest = [look for look in rest if look.clears & owed]
        chosen = max(rest, key=lambda look: (_cluster(look, rest, left, state, bench.change), -rest.index(look)))
        sequence.append(chosen)
        rest.remove(chosen)
        left, state = _after(left, chosen), chosen.state
        owed -= chosen.clears
    return tuple(sequence)


def _cluster(look: Look, rest: Sequence[Look], left: Mapping[str, float], state: str, change: Change) -> float:
    """Return the efficiency of a look, or of the best run of looks that shares the change into its bench state.

    Taking a cluster at its best prefix is optimal for independent looks (Ottosen and Jensen, arXiv 1203.3502).
    """
    best = efficiency(look, left, state, change)
    if look.state == state:
        return best
    spent, alive = look.minutes + change(state, look.state), sum(left.values())
    now = _after(left, look)
    mates = [mate for mate in rest if mate.state == look.state and mate is not look]
    mates.sort(key=lambda mate: (-efficiency(mate, now, look.state, change), mate.id))
    for mate in mates:
        now, spent = _after(now, mate), spent + mate.minutes
        best = max(best, (alive - sum(now.values())) / max(spent, 1e-9))
    return best


def _pruned(sequence: tuple[Look, ...], bench: Bench) -> tuple[Look, ...]:
    """Leave out looks that the others make needless, dearest first."""
    for look in sorted(sequence, key=lambda look: (-look.minutes, look.id)):
        without = tuple(other for other in sequence if other is not look)
        if covers(without, bench.owed) and cost(without, bench) <= cost(sequence, bench):
            sequence = without
    return sequence


def _improved(sequence: tuple[Look, ...], looks: Sequence[Look], bench: Bench) -> tuple[Look, ...]:
    """Move, add, swap in or leave out single looks while that saves expected minutes."""
    spent = cost(sequence, bench)
    for _ in range(ROUNDS):
        best, best_cost = sequence, spent
        for index, look in enumerate(sequence):
            rest = sequence[:index] + sequence[index + 1 :]
            options = [(*rest[:at], look, *rest[at:]) for at in range(len(sequence)) if at != index]
            options.append(rest)
            options += [(*sequence[:index], new, *sequence[index + 1 :]) for new in looks if new not in sequence]
            for option in options:
                if covers(option, bench.owed) and (now := cost(option, bench)) < best_cost - 1e-9:
                    best, best_cost = option, now
        for new in looks:
            if new in sequence:
                continue
            for at in range(len(sequence) + 1):
                option = _pruned((*sequence[:at], new, *sequence[at:]), bench)
                if (now := cost(option, bench)) < best_cost - 1e-9:
                    best, best_cost = option, now
        if best is sequence:
            break
        sequence, spent = best, best_cost
    return sequence
