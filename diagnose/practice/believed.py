"""How often what a walk says of its suspects is right, counted by the word that it says."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from msgspec import Struct

from diagnose.reason.explain import SHOWN
from diagnose.reason.likelihood import BANDS, word
from diagnose.reason.walk import Walk


class Believed(Struct, frozen=True):
    """What was said with one word: how often, the sum of the shares behind it, and how often the fault was there."""

    count: int = 0
    shares: float = 0.0
    right: int = 0

    def plus(self, other: Believed) -> Believed:
        """Return both together."""
        return Believed(self.count + other.count, self.shares + other.shares, self.right + other.right)


ByWord = tuple[Believed, ...]
"""The counts of each word, in the order of the table of words."""
NOTHING: ByWord = (Believed(),) * len(BANDS)


def believed(walk: Walk, wrong: Collection[str]) -> ByWord:
    """Count the suspects that a walk lists now, where the faults `wrong` are there."""
    found = {said: Believed() for _, said in BANDS}
    for fault, share in walk.standing.spoken.items():
        if share >= SHOWN and fault in walk.scope.faults:
            found[word(share)] = found[word(share)].plus(Believed(1, share, int(fault in wrong)))
    return tuple(found.values())


def together(some: Iterable[ByWord]) -> ByWord:
    """Return the counts of several together."""
    found = NOTHING
    for one in some:
        found = tuple(counted.plus(more) for counted, more in zip(found, one, strict=True))
    return found
