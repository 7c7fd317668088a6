"""What the simulated engine shows of each fault, held against what the knowledge says that the fault explains.

Many engines are drawn that have one fault and show it. Which complaints show on them, and on what share, is one side;
`explains` is the other. Where they differ for a reason, it stands in `knowledge/simulated/exceptions.yaml`.
"""

from __future__ import annotations

from collections import Counter

from msgspec import Struct

from diagnose.graph.model import Knowledge
from diagnose.measure.disagree import with_fault
from diagnose.practice import symptoms

ENGINES = 100
"""Engines a fault."""
LEAST = 0.03
"""The share of the engines on which a complaint shows, from which it must be listed."""
NOT_COMPARED = frozenset({symptoms.DOOR, symptoms.FIRST_START})
"""A door explains nothing by itself, and before a first start nothing is wrong."""


class Unlike(Struct, frozen=True):
    """A complaint of a fault on which the two differ."""

    fault: str
    symptom: str
    share: float
    """On how many of the engines it shows."""
    listed: bool


def shares(fault: str, knowledge: Knowledge, engines: int = ENGINES) -> dict[str, float]:
    """Return on what share of the engines with a fault each complaint shows; nothing if no engine shows it.

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
        state = engine.state._replace(stored=False)
        told.update(symptoms.shown(state).keys())
        told.update({symptoms.ROUGH} & symptoms.shown(state._replace(stored=True)).keys())
    known = knowledge.symptoms.keys() - NOT_COMPARED
    return {name: count / made for name, count in sorted(told.items()) if name in known}
