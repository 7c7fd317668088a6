"""What a club's own outings say of how often each fault is behind a symptom: the files' weights, moved by counts.

The files' weights are the mean of a Dirichlet prior that counts like `STRENGTH` outings. The outings that a mend has
ended are added to it, and the mean of what comes out gives the new weights (Gelman et al., *Bayesian Data Analysis*,
3rd ed., section 3.4; formula from memory).

Only the mechanical faults share anew, and they keep together what they had: no needle is thought likelier for it. All
that a walk holds back for lack of a look is asked with and without these weights (`Standing`, `Doubt`), so that
nothing that was learned takes a look off what is owed, or opens a lock.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Annotated

from msgspec import Meta, Struct

STRENGTH = 20.0
"""So many outings do the files' weights of a symptom count for: after as many of its own, a club is half believed."""

Counts = dict[str, dict[str, Annotated[int, Meta(ge=0)]]]
"""By symptom, and by the mechanical fault whose mend cured it: how many outings."""


class Learned(Struct, frozen=True, omit_defaults=True):
    """What a walk knows of the outings before it. It lies in its `Started`, so that the walk is the same for ever."""

    counts: Counts
    strength: Annotated[float, Meta(gt=0)] = STRENGTH
    """Outings that the files' weights count for."""

    def outings(self, symptom: str) -> int:
        """Return how many outings speak of a symptom."""
        return sum(self.counts.get(symptom, {}).values())


def shares(weights: Mapping[str, float], counts: Mapping[str, int], strength: float) -> dict[str, float]:
    """Return the mean of the Dirichlet that the weights, scaled to `strength`, and the counts come to."""
    total = sum(weights.values())
    masses = {fault: strength * weight / total + counts.get(fault, 0) for fault, weight in weights.items()}
    return {fault: mass / sum(masses.values()) for fault, mass in masses.items()}


def weighed(
    weights: Mapping[str, float], mechanical: Collection[str], counts: Mapping[str, int], strength: float
) -> dict[str, float]:
    """Return the weights of a symptom's faults with the counts in them: the mechanical ones share what they had."""
    able = {fault: weight for fault, weight in weights.items() if fault in mechanical}
    if not any(counts.get(fault) for fault in able):
        return dict(weights)
    whole = sum(able.values())
    return {**weights, **{fault: whole * share for fault, share in shares(able, counts, strength).items()}}
