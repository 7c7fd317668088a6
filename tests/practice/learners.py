"""Learners for tests: one who does what the program says, one who guesses, one who looks at everything."""

from __future__ import annotations

from diagnose.graph.model import signed
from diagnose.practice import happenings as hp
from diagnose.practice.lesson import Practice
from diagnose.reason.state import IDLE
from diagnose.reason.steps import HEAT


def advised(practice: Practice, most: int = 150) -> Practice:
    """Do what the program would do, to the end."""
    for _ in range(most):
        if practice.ended:
            return practice
        practice = practice.plus(_advice(practice))
    raise AssertionError("the advice came to no end")


def _advice(practice: Practice) -> hp.PracticeEvent:
    step = practice.advice()
    assert step is not None
    match step.kind:
        case "ask" | "recheck":
            return hp.Looked(step.id)
        case "mend" | "restore" if step.id in practice.scope.faults:
            return hp.MendedPart(step.id)
        case "restore":
            return hp.SetBack()
        case "retest":
            return hp.Tried()
        case "prepare" if step.id in (HEAT, IDLE):
            return hp.Ran()
        case "adjust":
            first, *rest = step.turns
            return hp.TurnedScrew(
                first.screw, signed(first.way, first.hours), sum(signed(t.way, t.hours) for t in rest)
            )
        case "follow":
            (turn,) = step.turns
            return hp.TurnedScrew(turn.screw, signed(turn.way, turn.hours))
        case "undo":
            last = practice.walk.state.standing_turns[-1]
            return hp.TurnedScrew(last.screw, -signed(last.way, last.hours), -sum(last.follow.values()))
        case _:
            return hp.GaveUp()


def guessing(practice: Practice, tries: int) -> Practice:
    """Mend what is likeliest before anything was seen, and so on, without one look."""
    belief = practice.walk.standing.belief
    faults = [name for name in belief if name in practice.scope.faults and not practice.scope.faults[name].turned]
    for fault in sorted(faults, key=lambda one: (-belief[one], one))[:tries]:
        practice = practice.plus(hp.MendedPart(fault)).plus(hp.Tried())
        if practice.ended:
            return practice
    return practice.plus(hp.GaveUp())
