"""A practice: a fold over what happened at an engine with something wrong, and what the learner is told of it.

Any check may be made at any time, anything may be mended, and a needle may be turned too early: then it is told at once
what that does. Beside it runs the walk that the program would make of the same events; from that come the guards, what
is grounded, and what is still owed. The walk is never shown while the learner works.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import TypeVar

from diagnose.errors import DiagnoseError
from diagnose.graph.model import CLOSE, Knowledge, Variant
from diagnose.practice import feedback
from diagnose.practice.allowed import check
from diagnose.practice.fold import CURED as CURED
from diagnose.practice.fold import GIVEN_UP as GIVEN_UP
from diagnose.practice.fold import LessonLine as LessonLine
from diagnose.practice.fold import PracticeFold
from diagnose.practice.hands import Hands
from diagnose.practice.happenings import Begun, PracticeEvent, PracticeHappening, Replied
from diagnose.reason import events as ev
from diagnose.reason.scope import Scope
from diagnose.reason.view import Step
from diagnose.reason.walk import Walk

TURNED = "Somebody has turned its screws since it last ran well."
T = TypeVar("T", bound=PracticeHappening)


class Practice:
    """One practice, as a value: adding an event gives a new one."""

    def __init__(self, knowledge: Knowledge, events: Sequence[PracticeEvent]) -> None:
        if not events or not isinstance(events[0], Begun):
            raise DiagnoseError("these events are no practice: the first one must say how it began")
        self.knowledge = knowledge
        self.events = tuple(events)
        self.begun: Begun = events[0]

    @cached_property
    def _folded(self) -> PracticeFold:
        return PracticeFold(self.knowledge, self.events)

    @property
    def scope(self) -> Scope:
        """The knowledge as it applies to this engine."""
        return self._folded.scope

    @property
    def variant(self) -> Variant:
        """What kind of engine it is."""
        return self.scope.engine

    @property
    def hands(self) -> Hands:
        """The engine, the clock and the bench as they are now. Nobody else may use them."""
        return self._folded.hands

    @property
    def walk(self) -> Walk:
        """What the program knows now."""
        return self._folded.walk

    @property
    def lines(self) -> tuple[LessonLine, ...]:
        """What was done, in order."""
        return tuple(self._folded.lines)

    @property
    def minutes(self) -> float:
        """Minutes on the clock."""
        return self.hands.minutes

    @property
    def complaint(self) -> str:
        """The symptom that the owner reports now."""
        return self.hands.complaints[-1]

    @property
    def ended(self) -> str:
        """``cured``, ``given up``, or nothing while it goes on."""
        return self._folded.ended

    @property
    def reply(self) -> str:
        """The answer that was given to the lesson's question, if it was."""
        found = self.said(Replied)
        return found.answer if found is not None else ""

    def advice(self) -> Step | None:
        """Return what the program would do now, once the car is closed up for it."""
        walk, now = self.walk, self.hands.now
        step = walk.step(now)
        if step is not None and step.id == CLOSE:
            step = walk.plus(ev.Prepared(now, CLOSE, "ready")).step(now)
        return step

    def plus(self, event: PracticeEvent) -> Practice:
        """Return the practice with one more event; raises `DiagnoseError` on one that makes no sense here."""
        check(self, event)
        made = Practice(self.knowledge, (*self.events, event))
        made._folded = self._folded.plus(event)
        return made

    def story(self) -> tuple[str, ...]:
        """Return what the owner says."""
        told = feedback.story(self.knowledge, self.begun.symptom, self._folded.first)
        return (*told, *filter(None, (TURNED if self.begun.turned else "", self.begun.owner)))

    def said(self, kind: type[T]) -> T | None:
        """Return the last thing of a kind that the learner said, if any."""
        return next((one for one in reversed(self.events) if isinstance(one, kind)), None)
