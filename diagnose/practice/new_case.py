"""A question on a new case: what was seen at another engine, and which of four faults it is.

The right one is there and is the likeliest by what was seen; the others explain the complaint too, and are far less
likely. The order is shuffled, so that whoever guesses is right one time in four.
"""

from __future__ import annotations

from collections.abc import Iterable
from random import Random
from typing import NamedTuple

import msgspec

from diagnose.errors import DiagnoseError
from diagnose.practice import setting
from diagnose.practice.happenings import Looked, Spoken
from diagnose.practice.lesson import Practice
from diagnose.practice.worked import advice

OFFERED = 4
LIKELIEST, UNLIKELY = 0.6, 0.15
"""Belief from which a fault is the right answer, and below which one is a wrong one: a judgement."""
TRIES = 12
FEW_DRAWS = 12
"""Engines that are drawn for a fault, before another one is taken: nobody waits for a rare one."""
MOST_LOOKS = 14


class NewCase(NamedTuple):
    """A case that nobody has worked at."""

    practice: Practice
    """As far as it was looked at."""
    offered: tuple[str, ...]
    """Faults, in the order in which they are offered."""
    right: str


def new_case(practice: Practice) -> NewCase | None:
    """Return a new case with the complaint of a practice and another fault; None where the knowledge has none."""
    known, symptom = practice.knowledge, practice.begun.symptom
    rng = Random(f"{seed_of(practice)} new case")
    worked = {trouble.fault for trouble in practice.begun.troubles}
    others = [one for one in practice.scope.explaining(symptom) if one in known.simulated_faults and one not in worked]
    rng.shuffle(others)
    for fault in others[:TRIES]:
        try:
            begun = setting.hidden(known, symptom, fault, f"new {rng.random()}", FEW_DRAWS)
        except DiagnoseError:  # no engine shows this complaint by that fault
            continue
        found = _looked_at(Practice(known, [begun]), fault)
        lures = _lures(found, fault) if found is not None else []
        if found is not None and len(lures) >= OFFERED - 1:
            offered = [fault, *rng.sample(lures, OFFERED - 1)]
            rng.shuffle(offered)
            return NewCase(found, tuple(offered), fault)
    return None


def _looked_at(practice: Practice, fault: str) -> Practice | None:
    """Look as the program does until what is wrong is the likeliest by far; None where it never is, or is mended."""
    for _ in range(MOST_LOOKS):
        if practice.walk.standing.belief.get(fault, 0.0) >= LIKELIEST:
            return practice
        event = advice(practice)
        if not isinstance(event, Looked):
            return None
        practice = practice.plus(event)
    return None


def _lures(practice: Practice, fault: str) -> list[str]:
    """Return faults that explain the complaint too and that what was seen speaks against, the commonest first."""
    belief, explaining = practice.walk.standing.belief, practice.scope.explaining(practice.begun.symptom)
    wrong = [one for one in explaining if one != fault and belief.get(one, 0.0) < UNLIKELY]
    return sorted(wrong, key=lambda one: (-explaining[one], one))[: 2 * OFFERED]


def seed_of(practice: Practice) -> str:
    """Return what the questions after a practice are shuffled by: each way of working has its own order.

    Which state of the knowledge it began with is left out, so that a text put right there shuffles nothing anew.
    """
    events = [msgspec.structs.replace(practice.begun, knowledge=""), *practice.events[1:]]
    return " ".join(repr(one) for one in events if not isinstance(one, Spoken))


def shuffled(practice: Practice, answers: Iterable[str]) -> list[str]:
    """Return the answers of a question in the order in which this practice is asked."""
    order = sorted(answers)
    Random(f"{seed_of(practice)} question").shuffle(order)
    return order
