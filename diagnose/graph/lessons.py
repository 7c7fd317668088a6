"""The rules of the lessons: their names exist, one answer is right, and what is set explains what it does."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from diagnose.graph.link import Book
from diagnose.graph.problem import Problem

if TYPE_CHECKING:
    from diagnose.graph.routes import Proof  # with networkx, which reading does without


def links(book: Book) -> Iterator[Problem]:
    """Yield each name in a lesson that does not exist, and each question that has not one right answer."""
    for name, lesson in book.knowledge.lessons.items():
        here = ("lessons", name)
        yield from book.unknown("symptoms", lesson.symptom, *here, "symptom")
        for fault in lesson.faults:
            yield from book.unknown("faults", fault, *here, "faults", fault)
        right = [key for key, reply in lesson.question.answers.items() if reply.right]
        if len(right) != 1:
            what = f"{len(right) or 'none'} of the answers {'are' if len(right) > 1 else 'is'} right; mark exactly one"
            yield book.problem("lesson-right", what, *here, "question", "answers")


def problems(proof: Proof) -> Iterator[Problem]:
    """Yield each fault of a lesson that its engine can't have, or that does not explain its symptom."""
    known = proof.knowledge
    for name, lesson in known.lessons.items():
        for fault in lesson.faults:
            here = ("lessons", name, "faults", fault)
            found = known.faults[fault]
            if not found.only.fits(lesson.variant):
                what = f"the engine of the lesson ({lesson.variant.says()}) can't have '{fault}'"
                yield proof.problem("lesson-fault", what, *here)
            elif lesson.symptom not in found.explains:
                yield proof.problem("lesson-fault", f"'{fault}' does not explain '{lesson.symptom}'", *here)
