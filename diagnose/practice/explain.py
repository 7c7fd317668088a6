"""What a learner says that a look tells, and whether it does: the third part of predict, observe, explain."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from diagnose.practice.happenings import Looked, MadeOfIt
from diagnose.reason.scope import Scope

if TYPE_CHECKING:
    from diagnose.practice.lesson import LessonLine, Practice

SOUND, UNCLEAR = "sound", "unclear"
"""Explanations beside the areas: all is well there; nothing can be told from it yet."""


class ExplainedLook(NamedTuple):
    """A look with what its learner expected of it and made of it."""

    line: LessonLine
    about: str
    """Empty where nothing was said."""

    @property
    def check(self) -> str:
        """What was looked at."""
        assert isinstance(self.line.event, Looked)
        return self.line.event.check

    @property
    def expected(self) -> str:
        """The answer that was expected; empty where that was left open."""
        assert isinstance(self.line.event, Looked)
        return self.line.event.expected


def areas(scope: Scope) -> tuple[str, ...]:
    """Return the areas in which something can be wrong, in the order of the alphabet."""
    return tuple(sorted({fault.area for fault in scope.faults.values()}))


def due(practice: Practice) -> bool:
    """Say whether the last thing that happened is a look, not explained yet."""
    return isinstance(practice.events[-1], Looked)


def choices(practice: Practice) -> tuple[str, ...]:
    """Return what may be said of the last look: the areas of which it can show something, `SOUND` and `UNCLEAR`."""
    last = next((line for line in reversed(practice.lines) if isinstance(line.event, Looked)), None)
    if last is None or not isinstance(last.event, Looked):
        return ()
    scope = practice.scope
    shown = {scope.faults[one].area for one in scope.clears(last.event.check) if one in scope.faults}
    return (*sorted(shown), SOUND, UNCLEAR)


def looks(practice: Practice) -> list[ExplainedLook]:
    """Return every look, with what was made of it."""
    lines = iter([line for line in practice.lines if isinstance(line.event, Looked)])
    found: list[ExplainedLook] = []
    for event in practice.events:
        if isinstance(event, Looked):
            found.append(ExplainedLook(next(lines), ""))
        elif isinstance(event, MadeOfIt):
            found[-1] = found[-1]._replace(about=event.about)
    return found


def fits(scope: Scope, look: ExplainedLook) -> bool:
    """Say whether an explanation fits what was seen: the area that the answer speaks for most, or that all is well."""
    check, answer = look.check, look.line.answer
    if not answer:
        return look.about == UNCLEAR
    if scope.checks[check].answers[answer].healthy:
        return look.about == SOUND
    likelihood = scope.answer(check, answer)
    most: dict[str, float] = {}
    for name, fault in scope.faults.items():
        spoken_for = max(map(likelihood.of, scope.hypotheses(name)))
        most[fault.area] = max(most.get(fault.area, 0.0), spoken_for)
    strongest = max(most.values(), default=0.0)
    if strongest <= likelihood.otherwise:
        return look.about == UNCLEAR
    return most.get(look.about, 0.0) == strongest
