"""How likely each fault is, given the answers: one fault at a time, and "something not on the list".

P(f | answers) ∝ weight(f, symptom) · Π P(answer | f): naive Bayes over single faults, as in Heckerman, Breese and
Rommelse, "Decision-theoretic troubleshooting", Communications of the ACM 38(3), 1995.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import log2

from diagnose.reason.scope import Likelihood, Scope

OTHER = "not listed"
OTHER_SHARE = 0.05
"""The belief that something is wrong that no file names, before any answer. A judgement."""

UNSURE = 0.5
"""The power that "not quite sure" takes the likelihood ratio to."""

ALSO_LEAST, ALSO_PER_WEIGHT, ALSO_MOST = 0.05, 0.06, 0.65
"""P(a second symptom | fault) = least + per weight × the fault's weight for it, up to the most: assumed.

The most is reached at a weight of 10. A weight above that says that the fault is behind most engines that complain so,
and not that an engine which has it always complains of it.
"""


def prior(weights: Mapping[str, float]) -> dict[str, float]:
    """Turn weights into shares of what is listed, leaving `OTHER_SHARE` for what is not."""
    total = sum(weights.values())
    if not total:
        return {OTHER: 1.0}
    shares = {fault: (1 - OTHER_SHARE) * weight / total for fault, weight in weights.items()}
    shares[OTHER] = OTHER_SHARE
    return shares


def posterior(before: Mapping[str, float], evidence: Iterable[tuple[Likelihood, float]]) -> dict[str, float]:
    """Return the belief after the evidence: pairs of a likelihood and the power it is taken to (1 when sure)."""
    after = dict(before)
    for (named, otherwise), power in evidence:
        for fault in after:
            after[fault] *= named.get(fault, otherwise) if power == 1 else named.get(fault, otherwise) ** power
    return normalised(after)


def normalised(masses: Mapping[str, float]) -> dict[str, float]:
    """Scale masses to sum to one; nothing is left as it is."""
    total = sum(masses.values())
    return {fault: mass / total for fault, mass in masses.items()} if total else dict(masses)


def also(scope: Scope, symptom: str) -> Likelihood:
    """Return P(a second symptom is seen | fault)."""
    weights = scope.explaining(symptom)
    seen = {fault: min(ALSO_LEAST + ALSO_PER_WEIGHT * weight, ALSO_MOST) for fault, weight in weights.items()}
    return Likelihood(scope.every(seen), ALSO_LEAST)


def entropy(belief: Mapping[str, float]) -> float:
    """Return the entropy in bits."""
    return -sum(share * log2(share) for share in belief.values() if share > 0)


def gain(belief: Mapping[str, float], answers: Iterable[Likelihood]) -> float:
    """Return the bits that a check with these answers is expected to take off the belief."""
    left = 0.0
    for likelihood in answers:
        joint = {fault: share * likelihood.of(fault) for fault, share in belief.items()}
        chance = sum(joint.values())
        if chance:
            left += chance * entropy(normalised(joint))
    return entropy(belief) - left
