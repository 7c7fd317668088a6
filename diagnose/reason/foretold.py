"""Whether what a club has learned helps yet: how well each outing is foretold by the weights that stand before it.

Each outing is scored before it is learned from, by the logarithm of the share that its fault had: the logarithmic score
of Good (1952, *J. R. Stat. Soc. B* 14:107; from memory), held out by order. What the learned weights score over those
of the files is the same in whatever order the outings come: it is the logarithm of a ratio of a Dirichlet-multinomial
probability to a multinomial one.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import lgamma, log


def gain(weights: Mapping[str, float], counts: Mapping[str, int], strength: float) -> float:
    """Return what learning scores over the files' weights in all, in nats: over 0 it foretells better.

    Faults without a weight are not counted.
    """
    whole, over = sum(weights.values()), sum(counts.get(fault, 0) for fault in weights)
    scored = lgamma(strength) - lgamma(strength + over)
    for fault, weight in weights.items():
        if many := counts.get(fault, 0):
            share = weight / whole
            scored += lgamma(strength * share + many) - lgamma(strength * share) - many * log(share)
    return scored


ENOUGH = 1e-9
"""Nats that the outings of a symptom must score over the files' weights before they count: more than rounding makes.

The first outing of a symptom is foretold by the files alone, so that one can never score.
"""


def helps(weights: Mapping[str, float], counts: Mapping[str, int], strength: float) -> bool:
    """Say whether what was learned of a symptom foretells its outings better by now than the files do."""
    return gain(weights, counts, strength) > ENOUGH
