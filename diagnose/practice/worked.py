"""A practice that the program itself works at: a worked example, or the first steps of one."""

from __future__ import annotations

from typing import Literal

from msgspec.structs import replace

from diagnose.graph.model import Knowledge, signed
from diagnose.practice import happenings as hp
from diagnose.practice.lesson import Practice
from diagnose.reason.state import IDLE
from diagnose.reason.steps import HEAT

MOST = 150
"""Steps after which the program stops: it hands over long before."""

Own = Literal["end", "half", "turns", "all"]
"""Which of the program's steps are the learner's: from what puts it right on, half of those before too, from the first
turn of a screw on, or all."""


def advised(practice: Practice) -> Practice:
    """Do what the program would do, to the end."""
    for _ in range(MOST):
        if practice.ended:
            break
        practice = practice.plus(advice(practice))
    return practice


def begin(knowledge: Knowledge, begun: hp.Begun) -> Practice:
    """Begin a practice; in a lesson about the screws the looks are made."""
    practice, lesson = Practice(knowledge, [begun]), knowledge.lessons.get(begun.lesson)
    return faded(practice, "turns") if lesson is not None and lesson.looks_made else practice


def faded(practice: Practice, own: Own) -> Practice:
    """Do the first of the steps that the program would take, so that the last ones are left to a learner."""
    whole = advised(practice)
    last = max((number for number, line in enumerate(whole.lines) if line.put_right), default=0)
    turns = next((number for number, line in enumerate(whole.lines) if isinstance(line.event, hp.TurnedScrew)), 0)
    shown = {"end": last, "half": last // 2, "turns": turns, "all": 0}[own]
    return Practice(practice.knowledge, (replace(practice.begun, shown=shown), *whole.events[1 : 1 + shown]))


def advice(practice: Practice) -> hp.PracticeEvent:
    """Return what the program would do now, as something that happens."""
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
