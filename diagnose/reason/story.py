"""What the person tells before any check: which questions are put, with which answers, and what it bears on.

It is evidence, and says where to look first. It opens no gate.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from diagnose.graph.model import Knowledge, Memory, Question, Variant
from diagnose.reason.scope import Scope

if TYPE_CHECKING:
    from diagnose.reason.events import Told
    from diagnose.reason.state import State

NEW_TO_IT = frozenset({"only just got", "just got"})
"""The answers to history questions that say that the car is new to its owner."""
RUNNING_IN = "running-in"
"""The history question that an engine's record answers."""


def applies(question: Question, engine: Variant, state: State) -> bool:
    """Say whether a question fits this walk, by its complaint, its engine and what was told before."""
    told = state.told
    return (
        question.only.fits(engine)
        and state.started.symptom not in question.not_for
        and all(set(answers) & set(told.get(earlier, ())) for earlier, answers in question.after.items())
        and not any(set(answers) & set(told.get(earlier, ())) for earlier, answers in question.unless.items())
    )


def to_put(scope: Scope, state: State) -> list[tuple[str, Question]]:
    """Return the questions that are still to be put, in order, each with the answers that can tell something."""
    known = {RUNNING_IN} if state.started.engine else set()  # the engine's record says it already
    reached = in_reach(scope.knowledge, scope.engine, state.started.symptom)
    found = []
    for name, question in scope.knowledge.history.items():
        if name in state.told or name in known or not applies(question, scope.engine, state):
            continue
        answers = {key: one for key, one in question.answers.items() if _offered(one, scope, state, reached)}
        telling = [one for one in answers.values() if not reached.isdisjoint(one.names)]
        about_screws = any(one.turned for one in question.answers.values())
        if any(one.turned for one in telling) if about_screws else telling:
            found.append((name, Question(question.ask, answers, question.several)))
    return found


def may_follow(scope: Scope, state: State) -> int:
    """Return how many more questions may come up, once those that are put have been answered.

    An answer that brings up one question may spare another.
    """
    known = scope.knowledge.history
    waiting = {
        name: _pairs(question.after)
        for name, question in known.items()
        if name not in state.told and question.after.keys() - state.told.keys() and question.only.fits(scope.engine)
    }
    bring = frozenset[tuple[str, str]]().union(*waiting.values())
    spared = [name for name, _ in to_put(scope, state) if _pairs(known[name].unless) & bring]
    return max(len(waiting) - len(spared), 0)


def _pairs(told: dict[str, tuple[str, ...]]) -> frozenset[tuple[str, str]]:
    return frozenset((question, answer) for question, answers in told.items() for answer in answers)


def _offered(answer: Memory, scope: Scope, state: State, reached: frozenset[str]) -> bool:
    """Say whether an answer can tell something here: it names what can be wrong, or a screw, or nothing at all."""
    if not answer.only.fits(scope.engine) or state.started.symptom in answer.not_for:
        return False
    return answer.turned or not answer.given or not reached.isdisjoint(answer.names)


def in_reach(knowledge: Knowledge, engine: Variant, symptom: str) -> frozenset[str]:
    """Return the faults that explain a complaint, or one that its route may lead to."""
    seen, ahead = set[str](), [symptom]
    while ahead:
        if (name := ahead.pop()) not in seen:
            seen.add(name)
            ahead += knowledge.symptoms[name].doors & knowledge.symptoms.keys()
    return frozenset(fault for name in seen for fault in knowledge.explaining(name, engine))


def heard(scope: Scope, state: State) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield what counts of what was told: question, answers, in the order of the file.

    A question that is asked no more, or not under what was told before it, tells nothing.
    """
    for name, question in scope.knowledge.history.items():
        said = tuple(answer for answer in question.answers if answer in state.told.get(name, ()))
        if said and applies(question, scope.engine, state):
            yield name, said


def touched(scope: Scope, state: State) -> dict[str, str]:
    """Return the checks that look at what was touched last, each with what was said about it."""
    found: dict[str, str] = {}
    for name, said in heard(scope, state):
        for answer in said:
            told = scope.knowledge.history[name].answers[answer]
            found |= {check: told.say for check in told.look_early if check in scope.checks and check not in found}
    return found


def only_just_got(told: Told) -> bool:
    """Say whether somebody told that the car is new to them."""
    return not NEW_TO_IT.isdisjoint(told.said)


def turned(scope: Scope, state: State) -> bool:
    """Say whether somebody turned a screw since it last ran well, as the person tells it."""
    history = scope.knowledge.history
    return any(history[name].answers[answer].turned for name, said in heard(scope, state) for answer in said)
