"""What can be done in a practice. Nearly everything can: only what no pair of hands could do is refused."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING

from diagnose.errors import DiagnoseError
from diagnose.graph.problem import did_you_mean
from diagnose.practice.happenings import Begun, Hinted, Looked, MendedPart, PracticeEvent, Replied, SetBack, TurnedScrew
from diagnose.practice.hints import STRENGTHS
from diagnose.practice.tells import screws

if TYPE_CHECKING:
    from diagnose.practice.lesson import Practice

MOST_AT_ONCE = 6.0
"""Hours that a screw may be turned at once: what people do, and not what is right."""
MOST_EVENTS = 400


def check(practice: Practice, event: PracticeEvent) -> None:
    """Raise `DiagnoseError` for an event that makes no sense in this practice now."""
    scope = practice.scope
    if isinstance(event, Replied):
        lesson = practice.knowledge.lessons.get(practice.begun.lesson)
        if lesson is None or not practice.ended or practice.reply:
            raise DiagnoseError("there is no question to answer now")
        _known("answer", event.answer, lesson.question.answers)
        return
    if practice.ended:
        raise DiagnoseError(f"this practice has ended: {practice.ended}")
    if len(practice.events) >= MOST_EVENTS:
        raise DiagnoseError("that is enough for one practice: give it up, and begin another")
    match event:
        case Looked():
            _known("check", event.check, scope.checks)
            if event.expected:
                _known(f"answer of '{event.check}'", event.expected, scope.checks[event.check].answers)
        case MendedPart():
            _known("fault", event.fault, scope.faults)
            if scope.faults[event.fault].turned:
                raise DiagnoseError("that is a screw: turn it, or go back to the record")
        case TurnedScrew():
            _known("screw", event.screw, screws(practice.variant))
            if not 0 < abs(event.hours) <= MOST_AT_ONCE:
                raise DiagnoseError(f"turn it by up to {MOST_AT_ONCE:g} hours; twelve hours are one turn")
            if event.stop and (event.screw != "low needle" or abs(event.stop) > 1):
                raise DiagnoseError("only the idle stop follows, only the low needle, and by an hour at most")
        case SetBack() if not practice.begun.recorded:
            raise DiagnoseError("its settings are not on record: there is nothing to go back to")
        case Hinted() if event.strength not in STRENGTHS:
            raise DiagnoseError("a hint has strength 1, 2 or 3")
        case Begun():
            raise DiagnoseError("a practice begins once")
        case _:
            pass


def _known(kind: str, name: str, known: Collection[str]) -> None:
    if name not in known:
        raise DiagnoseError(f"there is no {kind} '{name}'{did_you_mean(name, known)}")
