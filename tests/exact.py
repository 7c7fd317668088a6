"""The exact optimum of a sweep by dynamic programming over sets of looks, and sweeps at random: what tests and
benchmarks hold the planner to.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from functools import cache

from diagnose.reason.order import PlannedLook, Prospect, RoundLine, in_a_row


def optimum(looks: Sequence[PlannedLook], bench: Prospect) -> float:
    """Return the least expected minutes of any sequence that covers what is owed. Exponential in the looks."""
    useful = [look for look in looks if look.clears & bench.owed]
    faults = list(bench.belief)
    alive = [[1 - look.shown.get(fault, look.otherwise) for fault in faults] for look in useful]
    masses = list(bench.belief.values())
    owed_bit = {fault: 1 << n for n, fault in enumerate(sorted(bench.owed))}
    clears = [sum(owed_bit[f] for f in look.clears if f in owed_bit) for look in useful]
    full = (1 << len(owed_bit)) - 1

    @cache
    def left(done: int) -> float:
        total = 0.0
        for n, mass in enumerate(masses):
            for i in range(len(useful)):
                if done >> i & 1:
                    mass *= alive[i][n]
            total += mass
        return total

    @cache
    def best(done: int, cleared: int, before: int, longest: float) -> float:
        if cleared == full:
            return 0.0
        last = useful[before] if before >= 0 else bench.before
        state = bench.state if before < 0 else useful[before].state
        options = []
        for i, look in enumerate(useful):
            if done >> i & 1:
                continue
            took, most = in_a_row(look, last, longest)
            here = left(done) * (took + bench.change(state, look.state))
            options.append(here + best(done | 1 << i, cleared | clears[i], i, most if look.line else 0.0))
        return min(options, default=float("inf"))

    return best(0, 0, -1, bench.longest)


def random_sweep(rng: random.Random, rounds: int = 0) -> tuple[list[PlannedLook], Prospect]:
    """Return a random sweep of 4 to 9 looks over 4 to 12 faults in four bench states, some of them in rounds."""
    faults = [f"f{n}" for n in range(rng.randint(4, 12))]
    states = ["parked", "plug out", "running on the stand", "on the track"]
    in_rounds = [(f"r{n}", rng.choice(states), rng.uniform(0.1, 0.7)) for n in range(rounds)]
    looks = []
    for n in range(rng.randint(4, 9)):
        named = rng.sample(faults, rng.randint(1, min(5, len(faults))))
        shown = {f: rng.uniform(0.65, 0.95) for f in named}
        minutes = rng.choice([0.5, 1, 1.5, 2, 3, 4, 5])
        state, line = rng.choice(states), None
        if in_rounds and rng.random() < 0.7:
            name, state, share = rng.choice(in_rounds)
            line = RoundLine(name, n, share)
        looks.append(PlannedLook(f"l{n}", minutes, state, shown, rng.uniform(0.01, 0.05), frozenset(named), line))
    weights = [rng.randint(1, 9) for _ in faults]
    belief = {f: w / sum(weights) for f, w in zip(faults, weights, strict=True)}

    def change(before: str, after: str) -> float:
        return 0.0 if before == after else 0.5 * (before != "parked") + 0.5 * (after != "parked")

    owed = frozenset(faults) & frozenset[str]().union(*(look.clears for look in looks))
    return looks, Prospect(belief, owed, "parked", change)
