"""What the program itself comes to at the engine of a practice, with the owner's words that the learner was told."""

from __future__ import annotations

from diagnose.graph.model import Knowledge
from diagnose.practice import setting
from diagnose.practice.drive import Drive, drive
from diagnose.practice.happenings import Begun
from diagnose.practice.owner import history
from diagnose.reason.scope import Scope

WALKS = 3
"""Walks that it may take at an engine with two faults: as many as when it is measured."""


def by_program(knowledge: Knowledge, begun: Begun) -> Drive:
    """Return what the program comes to; raises `DiagnoseError` for a fault that no engine can have.

    Its owner says what the learner's does, and is not mistaken: otherwise their minutes could not be set side by side.
    """
    engine = setting.engine(begun, knowledge)
    said = history(engine, knowledge, knowledge.lessons.get(begun.lesson))
    walks = WALKS if len(begun.troubles) > 1 else 1
    return drive(engine, knowledge, Scope(knowledge, engine.variant), walks=walks, said=said)


def in_vain(done: Drive) -> bool:
    """Say whether something was mended that was sound."""
    return any(one.kind == "mend" and not one.helped for one in done.changes)
