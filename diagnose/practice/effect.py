"""What practice does for learners, measured on them: the first fault of a family beside the second.

Both are worked at alone, without steps that were shown; the second is another fault of the same family. Minutes are
taken over the program's for the same engine, as one engine takes longer than another. Whether there is a change is
asked by a sign test (two-sided, exact binomial, ties left out): below six pairs it can't say anything.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import comb
from typing import Literal, NamedTuple

from diagnose.graph.model import Knowledge
from diagnose.practice.way import DonePractice, family

SURE = 0.05
"""A change that chance would bring as often as this is taken as one."""
FEWEST = 6
"""Pairs below which no outcome is that rare: half to the power of five is 0.06 both ways, to that of six 0.03."""

ChangeWord = Literal["too few", "none", "less", "more"]


class Pair(NamedTuple):
    """The first and the second fault of a family, of one learner."""

    family: str
    first: DonePractice
    second: DonePractice


class TwoMeans(NamedTuple):
    """One figure at the first and at the second faults: means over all pairs, and whether it changed."""

    first: float
    second: float
    fewer: int
    """Pairs in which it is less at the second."""
    more: int
    change: ChangeWord


class Effect(NamedTuple):
    """What practice did."""

    pairs: tuple[Pair, ...]
    minutes: TwoMeans | None
    """Over the program's; None without a pair, as all that follows."""
    hazards: TwoMeans | None
    early: TwoMeans | None


def pairs(knowledge: Knowledge, done: Sequence[DonePractice]) -> tuple[Pair, ...]:
    """Return the pairs of one learner, whose practices are given oldest first."""
    first: dict[str, DonePractice] = {}
    found: dict[str, Pair] = {}
    for one in done:
        name = family(knowledge, one)
        if one.shown or not name or one.hazards is None or one.early is None:
            continue
        if name not in first:
            first[name] = one
        elif name not in found and one.faults[0] != first[name].faults[0]:
            found[name] = Pair(name, first[name], one)
    return tuple(found.values())


def effect(some: Iterable[Pair]) -> Effect:
    """Return what practice did, over all pairs of one learner or of a class."""
    every = tuple(some)
    return Effect(
        every,
        _measured([(_over(one.first), _over(one.second)) for one in every]),
        _measured([(one.first.hazards or 0, one.second.hazards or 0) for one in every]),
        _measured([(one.first.early or 0, one.second.early or 0) for one in every]),
    )


def _over(one: DonePractice) -> float:
    return one.minutes / max(one.program_minutes, 1.0)


def _measured(values: Sequence[tuple[float, float]]) -> TwoMeans | None:
    if not values:
        return None
    fewer, more = sum(second < first for first, second in values), sum(second > first for first, second in values)
    first, second = (sum(column) / len(values) for column in zip(*values, strict=True))
    return TwoMeans(first, second, fewer, more, _change(len(values), fewer, more))


def _change(count: int, fewer: int, more: int) -> ChangeWord:
    if count < FEWEST:
        return "too few"
    if by_chance(fewer, more) >= SURE:
        return "none"
    return "less" if fewer > more else "more"


def by_chance(fewer: int, more: int) -> float:
    """Return how often chance alone would part pairs at least as unevenly: the sign test, two-sided and exact."""
    count, least = fewer + more, min(fewer, more)
    tail = sum(comb(count, one) for one in range(least + 1)) / 2.0**count
    return min(1.0, 2.0 * float(tail))
