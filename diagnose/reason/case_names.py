"""What a worked case asks of its engine: the engine must be able to have it, and each answer must be one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isfinite

from diagnose.graph.link import RETEST as RETEST
from diagnose.graph.model import Case, Knowledge, Variant, fault_of
from diagnose.graph.problem import did_you_mean
from diagnose.reason import events as ev
from diagnose.reason.steps import DONE, DROP, HEAT, NOT_NOW
from diagnose.reason.walk import OUTCOMES, PREPARED

CaseAnswer = str | float
"""An answer's id, or a number that was read."""


def several(given: CaseAnswer | tuple[CaseAnswer, ...]) -> Sequence[CaseAnswer]:
    """Return the successive answers that are given for one key."""
    return given if isinstance(given, tuple) else (given,)


def wrong_names(knowledge: Knowledge, case: Case, variant: Variant) -> Iterator[str]:
    """Yield a sentence for what of the case this engine can't have, or what can't be an answer.

    That every name exists, the reader has seen to.
    """
    for key, given in case.answers.items():
        if not several(given):
            yield f"'{key}' has an empty list of answers"
        for one in several(given):
            yield from _wrong_answer(knowledge, variant, key, one)
    for written in case.faults or ():
        hours = {} if isinstance(written, str) else written
        for name in [written] if isinstance(written, str) else written:
            if not knowledge.faults[fault_of(name)].only.fits(variant):
                yield _not_here("fault", name, variant)
        for name, hour in hours.items():
            if not (isfinite(hour) and hour > 0):
                yield f"'{name}' stands {hour:g} hours off: that must be more than 0"
            elif knowledge.faults[fault_of(name)].screw is None:
                yield f"'{name}' is no screw, so it has no hours"


def _wrong_answer(knowledge: Knowledge, variant: Variant, key: str, answer: CaseAnswer) -> Iterator[str]:
    """Yield what is wrong with one answer of a case."""
    allowed: tuple[str, ...]
    if key == RETEST:
        allowed = tuple(OUTCOMES)
    elif key in knowledge.preparations:
        if not isinstance(answer, str) and knowledge.preparations[key].head:
            return
        back = knowledge.preparations[key].back
        allowed = (DONE, NOT_NOW) if back else (*PREPARED, *((DROP,) if key == HEAT else ()))
    elif key in knowledge.checks:
        check = knowledge.checks[key]
        if not check.only.fits(variant):
            yield _not_here("check", key, variant)
        if check.reading is not None and not isinstance(answer, str):
            reading = check.reading
            if not reading.least <= answer <= reading.most:
                yield f"'{key}' reads {reading.least:g} to {reading.most:g} {reading.unit}, not {answer:g}"
            return
        allowed = (*check.answers, *sorted(ev.NOT_ANSWERS))
    else:
        if not knowledge.faults[key].only.fits(variant):
            yield _not_here("fault", key, variant)
        allowed = (DONE, NOT_NOW)
    if answer not in allowed:
        said = (
            f"'{answer}'{did_you_mean(answer, allowed)}"
            if isinstance(answer, str)
            else f"{answer:g}; it takes no number"
        )
        yield f"'{key}' has no answer {said}"


def _not_here(kind: str, name: str, variant: Variant) -> str:
    return f"the {kind} '{name}' is not for this engine ({variant.says()})"
