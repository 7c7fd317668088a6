"""Minutes of our order against the exact optimum, a static order, and needles first; on shipped and random sweeps."""

from __future__ import annotations

import random
import statistics
from collections.abc import Sequence

from exact import optimum, random_sweep

from diagnose.graph.model import Knowledge, Sweep, every_variant
from diagnose.reason import events as ev
from diagnose.reason.order import PlannedLook, Prospect, cost
from diagnose.reason.planner import plan
from diagnose.reason.walk import Walk, begin

RANDOM_SWEEPS = 400
MOST_LOOKS = 11
"""The exact optimum is exponential: larger shipped sweeps are cut to their likeliest looks, and counted."""


def static(looks: Sequence[PlannedLook], bench: Prospect) -> tuple[PlannedLook, ...]:
    """Return the looks by probability per minute as seen at the start, without updating; needless ones left out."""
    masses = bench.belief

    def rate(look: PlannedLook) -> float:
        return sum(m * look.shown.get(f, look.otherwise) for f, m in masses.items()) / look.minutes

    owed, chosen = set(bench.owed), []
    for look in sorted(looks, key=lambda look: (-rate(look), look.id)):
        if look.clears & owed:
            chosen.append(look)
            owed -= look.clears
    return tuple(chosen)


def needles_first(walk: Walk, planned: Sequence[PlannedLook], bench: Prospect) -> tuple[float, float]:
    """Return expected minutes of the sweep and the needle steps: ours (sweep first), and needles first."""
    belief = walk.standing.belief
    scope = walk.scope
    heat = walk.knowledge.preparations["bring-to-heat"].minutes
    step = heat + scope.minutes("needle-step-minutes") + walk.standing.symptom.retest.minutes
    screws = sorted((p for f, p in belief.items() if f in scope.faults and scope.faults[f].turned), reverse=True)
    sweep = cost(planned, bench)
    after = before = 0.0
    alive = 1.0
    for share in screws:
        before += alive * step
        alive -= share
    left = {f: p for f, p in belief.items() if f not in scope.faults or not scope.faults[f].turned}
    first = before + cost(planned, bench._replace(belief=left))
    alive = sum(screws) + 0.0
    for share in screws:
        after += alive * step
        alive -= share
    return sweep + after, first


def shipped(knowledge: Knowledge) -> tuple[list[dict[str, float]], int]:
    """Return the figures of every first sweep of the shipped knowledge, each distinct one once."""
    rows: list[dict[str, float]] = []
    seen: set[tuple[object, ...]] = set()
    cut = 0
    for symptom in knowledge.symptoms:
        for variant in every_variant():
            walk = begin(knowledge, ev.Started(0.0, "", symptom, "", variant))
            for node in knowledge.symptoms[symptom].route.values():
                if not isinstance(node, Sweep) or node.look != "first":
                    continue
                owed = walk.standing.unlooked(walk.standing.owed_in(symptom, node), "first", symptom)
                names = [n for n, c in walk.scope.checks.items() if c.look == "first" and walk.scope.clears(n) & owed]
                looks = [walk.decision.looking.look(name) for name in names]
                bench = walk.decision.looking.bench(owed)
                if len(looks) > MOST_LOOKS:
                    cut += 1
                    needed = list(plan(looks, bench))
                    spare = [look for look in looks if look not in needed]
                    looks = (needed + spare)[: max(MOST_LOOKS, len(needed))]
                bench = bench._replace(owed=owed & frozenset[str]().union(*(look.clears for look in looks)))
                key = (symptom, tuple(look.id for look in looks), bench.owed)
                if key in seen or not looks:
                    continue
                seen.add(key)
                planned = plan(looks, bench)
                ours, first = needles_first(walk, planned, bench)
                rows.append(
                    {
                        "ours": cost(planned, bench),
                        "optimum": optimum(looks, bench),
                        "static": cost(static(looks, bench), bench),
                        "with needles": ours,
                        "needles first": first,
                    }
                )
    return rows, cut


def ratios(knowledge: Knowledge) -> dict[str, float]:
    """Return every ratio that the table shows."""
    rows, cut = shipped(knowledge)
    ours = [row["ours"] / row["optimum"] for row in rows]
    rng = random.Random(1)
    at_random, static_at_random = [], []
    for _ in range(RANDOM_SWEEPS):
        looks, bench = random_sweep(rng)
        best = optimum(looks, bench)
        at_random.append(cost(plan(looks, bench), bench) / best)
        static_at_random.append(cost(static(looks, bench), bench) / best)
    return {
        "shipped sweeps": len(rows),
        "shipped sweeps cut for the optimum": cut,
        "shipped, ours / optimum, mean": statistics.mean(ours),
        "shipped, ours / optimum, worst": max(ours),
        "shipped, static / optimum, mean": statistics.mean(row["static"] / row["optimum"] for row in rows),
        "shipped, needles first / ours, mean": statistics.mean(r["needles first"] / r["with needles"] for r in rows),
        "random, ours / optimum, mean": statistics.mean(at_random),
        "random, ours / optimum, 95th percentile": statistics.quantiles(at_random, n=20)[-1],
        "random, static / optimum, mean": statistics.mean(static_at_random),
    }
