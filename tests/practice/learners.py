"""Learners for tests: one who does what the program says, one who guesses, one who looks at everything."""

from __future__ import annotations

from diagnose.practice import happenings as hp
from diagnose.practice.lesson import Practice
from diagnose.practice.worked import advised

__all__ = ["advised", "guessing"]


def guessing(practice: Practice, tries: int) -> Practice:
    """Mend what is likeliest before anything was seen, and so on, without one look."""
    belief = practice.walk.standing.belief
    faults = [name for name in belief if name in practice.scope.faults and not practice.scope.faults[name].turned]
    for fault in sorted(faults, key=lambda one: (-belief[one], one))[:tries]:
        practice = practice.plus(hp.MendedPart(fault)).plus(hp.Tried())
        if practice.ended:
            return practice
    return practice.plus(hp.GaveUp())
