"""The names in a worked case: everything that it names must exist for its engine."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import isfinite

from diagnose.graph.model import Case, Knowledge, Variant
from diagnose.graph.problem import did_you_mean
from diagnose.reason import events as ev
from diagnose.reason.steps import DONE, DROP, HEAT, NOT_NOW
from diagnose.reason.walk import OUTCOMES, PREPARED

RETEST = "re-test"
"""The key under which a case's answers say how the re-tests come out."""

Given = str | float
"""An answer's id, or a number that was read."""


def several(given: Given | tuple[Given, ...]) -> Sequence[Given]:
    """Return the successive answers that are given for one key."""
    return given if isinstance(given, tuple) else (given,)


def wrong_names(knowledge: Knowledge, case: Case, variant: Variant) -> Iterator[str]:
    """Yield a sentence for each name of the case that does not exist for this engine."""
    if case.symptom not in knowledge.symptoms:
        yield f"there is no symptom '{case.symptom}'{did_you_mean(case.symptom, knowledge.symptoms)}"
    for question, answer in case.history.items():
        asked = knowledge.history.get(question)
        if asked is None:
            yield f"there is no history question '{question}'{did_you_mean(question, knowledge.history)}"
        elif answer not in asked.answers and answer != ev.SKIPPED:
            yield f"'{question}' has no answer '{answer}'{did_you_mean(answer, asked.answers)}"
    faults = {name for name, fault in knowledge.faults.items() if fault.only.fits(variant)}
    for key, given in case.answers.items():
        if not several(given):
            yield f"'{key}' has an empty list of answers"
        for one in several(given):
            yield from _wrong_answer(knowledge, variant, key, one)
    for written in case.faults or ():
        hours = {} if isinstance(written, str) else written
        for name in [written] if isinstance(written, str) else written:
            if name not in faults:
                yield _no_such("fault", name, knowledge.faults, variant)
        for name, hour in hours.items():
            if not (isfinite(hour) and hour > 0):
                yield f"'{name}' stands {hour:g} hours off: that must be more than 0"
            elif name in faults and knowledge.faults[name].screw is None:
                yield f"'{name}' is no screw, so it has no hours"


def _wrong_answer(knowledge: Knowledge, variant: Variant, key: str, answer: Given) -> Iterator[str]:
    """Yield what is wrong with one answer of a case."""
    checks = knowledge.checks_for(variant)
    allowed: tuple[str, ...]
    if key == RETEST:
        allowed = tuple(OUTCOMES)
    elif key in knowledge.preparations:
        if not isinstance(answer, str) and knowledge.preparations[key].head:
            return
        back = knowledge.preparations[key].back
        allowed = (DONE, NOT_NOW) if back else (*PREPARED, *((DROP,) if key == HEAT else ()))
    elif key in checks:
        reading = checks[key].reading
        if reading is not None and not isinstance(answer, str):
            if not reading.least <= answer <= reading.most:
                yield f"'{key}' reads {reading.least:g} to {reading.most:g} {reading.unit}, not {answer:g}"
            return
        allowed = (*checks[key].answers, *sorted(ev.NOT_ANSWERS))
    elif key in knowledge.faults and knowledge.faults[key].only.fits(variant):
        allowed = (DONE, NOT_NOW)
    else:
        yield _no_such("check", key, {**knowledge.checks, **knowledge.preparations, RETEST: None}, variant)
        return
    if answer not in allowed:
        hint = did_you_mean(answer, allowed) if isinstance(answer, str) else "; it takes no number"
        yield f"'{key}' has no answer '{answer}'{hint}"


def _no_such(kind: str, name: str, known: Mapping[str, object], variant: Variant) -> str:
    if name in known:
        return f"the {kind} '{name}' is not for this engine ({variant.says()})"
    return f"there is no {kind} '{name}'{did_you_mean(name, known)}"
