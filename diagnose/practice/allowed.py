"""What can be done in a practice. Nearly everything can: only what no pair of hands could do is refused."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING

from diagnose.errors import DiagnoseError
from diagnose.graph.problem import did_you_mean
from diagnose.practice import explain
from diagnose.practice.explain import areas
from diagnose.practice.feedback import screws
from diagnose.practice.happenings import (
    Begun,
    Hinted,
    Looked,
    MadeOfIt,
    MendedPart,
    NamedInCase,
    PracticeEvent,
    Reflected,
    Replied,
    Ruled,
    SetBack,
    TurnedScrew,
)
from diagnose.practice.hints import STRENGTHS

if TYPE_CHECKING:
    from diagnose.practice.lesson import Practice

MOST_AT_ONCE = 6.0
"""Hours that a screw may be turned at once: what people do, and not what is right."""
MOST_EVENTS = 600
LONGEST_RULE = 200
"""Characters."""


def check(practice: Practice, event: PracticeEvent) -> None:
    """Raise `DiagnoseError` for an event that makes no sense in this practice now."""
    scope = practice.scope
    if isinstance(event, Replied):
        lesson = practice.knowledge.lessons.get(practice.begun.lesson)
        if lesson is None or not practice.ended or practice.reply:
            raise DiagnoseError("there is no question to answer now")
        _known("answer", event.answer, lesson.question.answers)
        return
    if isinstance(event, (Reflected, Ruled, NamedInCase)):
        _at_the_end(practice, event)
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
        case Hinted(guess=guess) if guess:
            _known("area", guess, areas(scope))
        case MadeOfIt() if not explain.due(practice):
            raise DiagnoseError("there is no look to explain now")
        case MadeOfIt():
            _known("explanation", event.about, explain.choices(practice))
        case Begun():
            raise DiagnoseError("a practice begins once")
        case _:
            pass


def _at_the_end(practice: Practice, event: Reflected | Ruled | NamedInCase) -> None:
    """Raise `DiagnoseError` for what is said before the end, a second time, or of a step that there is not."""
    if not practice.ended or practice.said(type(event)) is not None:
        raise DiagnoseError("there is no such question now")
    if isinstance(event, Reflected) and not all(0 <= n <= len(practice.lines) for n in (event.best, event.skip)):
        raise DiagnoseError(f"there are {len(practice.lines)} steps; 0 is none of them")
    if isinstance(event, Ruled) and (not event.rule.strip() or len(event.rule) > LONGEST_RULE):
        raise DiagnoseError(f"a rule has 1 to {LONGEST_RULE} characters")


def _known(kind: str, name: str, known: Collection[str]) -> None:
    if name not in known:
        raise DiagnoseError(f"there is no {kind} '{name}'{did_you_mean(name, known)}")
