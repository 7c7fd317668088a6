"""What the simulated engine shows of each fault, held against what the knowledge says that the fault explains.

Many engines are drawn that have one fault and show it. Which complaints show on them, and on what share, is one side;
`explains` is the other. Where they differ for a reason, it stands in `knowledge/simulated/exceptions.yaml`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from msgspec import Struct

from diagnose.graph.model import Knowledge
from diagnose.measure.disagree import with_fault
from diagnose.practice import symptoms

ENGINES = 100
"""Engines a fault."""
LISTED = 0.03
"""A complaint that shows on this share of the engines or more is listed."""
SHOWN = 0.01
"""A complaint that is listed shows on this share of them or more."""
NOT_COMPARED = frozenset({symptoms.DOOR, symptoms.FIRST_START})
"""A door explains nothing by itself, and before a first start nothing is wrong."""


class Compared(Struct, frozen=True):
    """One complaint of one fault: how the two sides have it."""

    fault: str
    symptom: str
    share: float
    """On how many of the engines it shows."""
    listed: bool
    excepted: bool
    """True when a difference is meant."""

    @property
    def differs(self) -> bool:
        """Say whether only one of the two has it."""
        return self.share < SHOWN if self.listed else self.share >= LISTED

    @property
    def gone(self) -> bool:
        """Say whether an exception is no longer needed: it is listed and plainly shows, or neither."""
        return self.excepted and (self.share >= LISTED if self.listed else self.share < SHOWN)


def shares(fault: str, knowledge: Knowledge, engines: int = ENGINES) -> dict[str, float]:
    """Return on what share of the engines with a fault each complaint shows.

    What is complained of after storage is asked of engines that were stored.
    """
    told: Counter[str] = Counter()
    number = made = 0
    while made < engines and number < 4 * engines:
        engine = with_fault(fault, knowledge, number)
        number += 1
        if engine is None:
            continue
        made += 1
        told.update(symptoms.shown(engine.state._replace(stored=False)).keys())
        told.update({symptoms.ROUGH} & symptoms.shown(engine.state._replace(stored=True)).keys())
    known = knowledge.symptoms.keys() - NOT_COMPARED
    return {name: count / made for name, count in sorted(told.items()) if name in known}


def compared(fault: str, knowledge: Knowledge, engines: int = ENGINES) -> Iterator[Compared]:
    """Yield each complaint of a simulated fault that either side has, or that an exception names.

    A fault that is only asked for before a first start is nobody's complaint.
    """
    explains = knowledge.faults[fault].explains.keys() - NOT_COMPARED
    if not explains:
        return
    meant = {
        symptom: entry.listed
        for entry in knowledge.simulated_exceptions.values()
        for symptom in entry.of.get(fault, ())
    }
    found = shares(fault, knowledge, engines)
    for symptom in sorted({*explains, *found, *meant}):
        listed = symptom in explains
        excepted = meant.get(symptom) == listed
        yield Compared(fault, symptom, found.get(symptom, 0.0), listed, excepted)
