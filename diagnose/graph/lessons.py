"""The rules of the lessons: their names exist, one answer is right, and what is set explains what it does."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from diagnose.graph.link import Book
from diagnose.graph.model import Lesson
from diagnose.graph.problem import Problem, did_you_mean

if TYPE_CHECKING:
    from diagnose.graph.routes import Proof  # with networkx, which reading does without

FITS = 0.5
"""What the owner says may be so much rarer with a fault of the lesson than with any other: assumed."""


def links(book: Book) -> Iterator[Problem]:
    """Yield each name in a lesson that does not exist, and each question that has not one right answer."""
    for name, lesson in book.knowledge.lessons.items():
        here = ("lessons", name)
        yield from book.unknown("symptoms", lesson.symptom, *here, "symptom")
        for fault in lesson.faults:
            yield from book.unknown("faults", fault, *here, "faults", fault)
        for question, said in lesson.history.items():
            at = (*here, "history", question)
            yield from book.unknown("history", question, *at)
            known = book.knowledge.history.get(question)
            for answer in (said,) if isinstance(said, str) else said:
                if known is not None and answer not in known.answers:
                    what = f"'{question}' has no answer '{answer}'{did_you_mean(answer, known.answers)}"
                    yield book.problem("unknown-name", what, *at)
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
        yield from _story(proof, name, lesson)


def _story(proof: Proof, name: str, lesson: Lesson) -> Iterator[Problem]:
    """See that what the owner says fits what is wrong: with one of the faults at least it is not much rarer."""
    known = proof.knowledge
    for question, told in lesson.history.items():
        asked = known.history[question]
        answers = (told,) if isinstance(told, str) else told
        if max(asked.chance(answers, fault) for fault in lesson.faults) < FITS * asked.chance(answers, None):
            said = ", and ".join(asked.answers[answer].say for answer in answers)
            what = f"the owner says '{said}', which hardly goes with {' and '.join(lesson.faults)}"
            yield proof.problem("lesson-story", what, "lessons", name, "history", question)
