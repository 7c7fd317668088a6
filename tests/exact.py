"""The exact optimum of a sweep by dynamic programming over sets of looks: the yardstick of tests and benchmarks."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from diagnose.reason.order import Bench, Look


def optimum(looks: Sequence[Look], bench: Bench) -> float:
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
