"""The exact optimum of a sweep by dynamic programming over sets of looks, and sweeps at random: what tests and
benchmarks hold the planner to.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from functools import cache

from diagnose.reason.order import PlannedLook, Prospect


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
    def best(done: int, cleared: int, state: str) -> float:
        if cleared == full:
            return 0.0
        options = [
            left(done) * (look.minutes + bench.change(state, look.state))
            + best(done | 1 << i, cleared | clears[i], look.state)
            for i, look in enumerate(useful)
            if not done >> i & 1
        ]
        return min(options, default=float("inf"))

    return best(0, 0, bench.state)


def random_sweep(rng: random.Random) -> tuple[list[PlannedLook], Prospect]:
    """Return a random sweep of 4 to 9 looks over 4 to 12 faults in four bench states."""
    faults = [f"f{n}" for n in range(rng.randint(4, 12))]
    states = ["parked", "plug out", "running on the stand", "on the track"]
    looks = []
    for n in range(rng.randint(4, 9)):
        named = rng.sample(faults, rng.randint(1, min(5, len(faults))))
        shown = {f: rng.uniform(0.65, 0.95) for f in named}
        minutes = rng.choice([0.5, 1, 1.5, 2, 3, 4, 5])
        looks.append(
            PlannedLook(f"l{n}", minutes, rng.choice(states), shown, rng.uniform(0.01, 0.05), frozenset(named))
        )
    weights = [rng.randint(1, 9) for _ in faults]
    belief = {f: w / sum(weights) for f, w in zip(faults, weights, strict=True)}

    def change(before: str, after: str) -> float:
        return 0.0 if before == after else 0.5 * (before != "parked") + 0.5 * (after != "parked")

    owed = frozenset(faults) & frozenset[str]().union(*(look.clears for look in looks))
    return looks, Prospect(belief, owed, "parked", change)
