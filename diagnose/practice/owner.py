"""What the owner of a simulated engine says of it: true, and fitting what is wrong, whoever tells it."""

from __future__ import annotations

from collections.abc import Mapping

from diagnose.graph.model import Knowledge, Lesson
from diagnose.practice.engine import SimEngine, with_trouble
from diagnose.reason import events as ev
from diagnose.reason.walk import Walk

OwnersWords = Mapping[str, tuple[str, ...]]
"""Answers by history question; a question that is not in it is skipped."""


def history(engine: SimEngine, knowledge: Knowledge, lesson: Lesson | None = None) -> OwnersWords:
    """Return what the owner says of the history: what its lesson says, how it came, and whether the engine is new.

    Of several faults the one that shows most of the complaint decides how it came.
    """
    told: dict[str, tuple[str, ...]] = {"running-in": ("run in",) if engine.variant.run_in else ("still new",)}
    if engine.troubles:
        sound = engine.before()
        worst = max(engine.troubles, key=lambda one: with_trouble(sound, one).strength(engine.complaint))
        told["onset"] = (knowledge.simulated_faults[worst.fault].comes,)
    for question, said in (lesson.history if lesson else {}).items():
        told[question] = (said,) if isinstance(said, str) else said
    return {
        question: said
        for question, said in told.items()
        if question in knowledge.history and knowledge.history[question].answers.keys() >= set(said)
    }


def told(walk: Walk, said: OwnersWords) -> Walk:
    """Return a walk at its beginning with what the owner says; a question that the answers so far rule out is not put.

    What he does not speak of is skipped.
    """
    put: set[str] = set()
    while waiting := [name for name, _ in walk.history() if name not in put]:
        put.add(waiting[0])
        walk = walk.plus(walk.tell(waiting[0], said.get(waiting[0], (ev.SKIPPED,)), walk.events[-1].at))
    return walk
