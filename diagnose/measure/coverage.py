"""What the worked cases leave out, and which faults no check tells apart."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import combinations
from typing import NamedTuple

from diagnose.graph.model import Case, Fault, Knowledge, fault_of

TOLD_APART = 0.4
"""A check tells two faults apart when its answers differ by this much: half the sum of |P(a | f) - P(a | g)|."""


class AlikeFaults(NamedTuple):
    """Two faults of one symptom that no check tells apart, and the check that comes nearest to it."""

    one: str
    other: str
    nearest: str
    """A check's id; empty where every check answers both alike."""
    distance: float
    """Total variation between that check's answers, 0 to 1."""


def uncovered(knowledge: Knowledge, cases: Iterable[Case]) -> list[str]:
    """Return the faults, and the forms of faults, that are the truth of no case, in the order of the files."""
    covered = {
        one for case in cases for fault in case.faults or () for one in ([fault] if isinstance(fault, str) else fault)
    }
    faults = {fault_of(one) for one in covered}
    return [
        one
        for name, fault in knowledge.faults.items()
        for one in (fault.hypotheses(name) if name in faults else [name])
        if one not in covered
    ]


def alike(knowledge: Knowledge) -> list[AlikeFaults]:
    """Return the mechanical faults that share a symptom, want different mends, and that no check tells apart."""
    return [pair for pair in _nearest(knowledge) if pair.distance < TOLD_APART]


def _nearest(knowledge: Knowledge) -> Iterator[AlikeFaults]:
    mechanical = {name: fault for name, fault in knowledge.faults.items() if fault.mechanical}
    spread = {name: _spread(knowledge, name) for name in mechanical}
    names = tuple(knowledge.checks)
    for (one, first), (other, second) in combinations(mechanical.items(), 2):
        if _apart(first, second):
            told = [
                sum(abs(p - q) for p, q in zip(*both, strict=True)) / 2
                for both in zip(spread[one], spread[other], strict=True)
            ]
            best = max(range(len(names)), key=lambda at: told[at])
            yield AlikeFaults(one, other, names[best] if told[best] else "", round(told[best], 3))


def _apart(one: Fault, other: Fault) -> bool:
    """Say whether it matters which of the two it is."""
    together = one.explains.keys() & other.explains.keys() and _same_engine(one, other)
    return bool(together) and one.mend.do != other.mend.do


def _same_engine(one: Fault, other: Fault) -> bool:
    """Say whether an engine can have both."""
    needles = {one.only.needles, other.only.needles} - {None}
    run_in = {one.only.run_in, other.only.run_in} - {None}
    starters = [set(only) for only in (one.only.starter, other.only.starter) if only is not None]
    return len(needles) < 2 and len(run_in) < 2 and (len(starters) < 2 or not starters[0].isdisjoint(starters[1]))


def _spread(knowledge: Knowledge, fault: str) -> list[tuple[float, ...]]:
    """Return P(answer | fault) for every answer of every check, over the forms of the fault."""
    return [tuple(knowledge.chances(check, fault).values()) for check in knowledge.checks.values()]
