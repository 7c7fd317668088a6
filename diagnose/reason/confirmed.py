"""Which outings speak of how often a fault is behind a symptom: those that one mend has cured, each once."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from diagnose.reason.learned import Counts
from diagnose.reason.walk import Walk


class CuredBy(NamedTuple):
    """What the end of a walk confirms: that this fault was behind this symptom."""

    symptom: str
    fault: str


def confirmed(walk: Walk) -> CuredBy | None:
    """Return what a walk confirms; None where no single mend of a mechanical fault cured what it was about.

    What a turn, or going back to the record, has cured says nothing of how the mechanical faults share. Nor do two
    mends that were tried in one go: nobody knows which it was.
    """
    state, scope = walk.state, walk.scope
    tried = set(state.on_trial)
    if state.cured_by != "mend" or len(tried) != 1:
        return None
    (fault,) = tried
    found = CuredBy(walk.symptom, fault)
    return found if fault in scope.explaining(found.symptom) and scope.faults[fault].mechanical else None


def counted(ends: Iterable[CuredBy | None]) -> Counts:
    """Return how many outings confirm each fault of each symptom, in the order of the ids."""
    counts: Counts = {}
    for end in ends:
        if end is not None:
            faults = counts.setdefault(end.symptom, {})
            faults[end.fault] = faults.get(end.fault, 0) + 1
    return {symptom: dict(sorted(faults.items())) for symptom, faults in sorted(counts.items())}


def together(all_counts: Iterable[Counts]) -> Counts:
    """Return the sum of counts."""
    ends = (
        [CuredBy(symptom, fault)] * many
        for counts in all_counts
        for symptom, faults in counts.items()
        for fault, many in faults.items()
    )
    return counted(end for some in ends for end in some)
