"""What was seen unasked: every look can be recorded at any time, and a finding leads to the symptoms that it fits.

A look at a running engine for which nothing is ready was made before: it counts like "not quite sure", so that it
opens no gate, and the engine is not run for it.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from diagnose.graph.model import Check, Knowledge, Variant
from diagnose.reason import plain
from diagnose.reason.scope import Scope

if TYPE_CHECKING:
    from diagnose.reason.walk import Walk

MOST = 6
"""So many symptoms are offered that a finding fits. A judgement."""


class Recordable(NamedTuple):
    """A look that can be recorded unasked."""

    check: str
    name: str
    before: bool
    """It was made before, with the engine running: nothing is ready for it now."""


def recordable(walk: Walk) -> Iterator[Recordable]:
    """Yield every look that can be recorded now, those that bear on what could be wrong first, each part by name."""
    now = walk.askable()
    yield from (Recordable(check, name, False) for check, name in now)
    known = {check for check, _ in now}
    for name, check in sorted(walk.scope.checks.items(), key=lambda one: one[1].name):
        if name in known or walk.knowledge.senseless(check, walk.symptom):
            continue
        before = check.engine != "off" and not walk.ready_for(check)
        swapped = walk.scope.swaps(name) is not None  # that is done, and not only seen
        if not (before and swapped) and not (check.guard and walk.state.loose(walk.scope)):
            yield Recordable(name, check.name, before)


def fitting(knowledge: Knowledge, engine: Variant, check: str, answer: str) -> tuple[str, ...]:
    """Return the symptoms that something seen fits, best first: those that are most often due to what it shows."""
    scope = Scope(knowledge, engine)
    likelihood, scores = scope.answer(check, answer), dict[str, float]()
    for name in knowledge.symptoms:
        weights = scope.explaining(name)
        if not weights or knowledge.senseless(scope.checks[check], name):
            continue
        shown = sum(w * likelihood.of(fault) for fault, w in weights.items() if fault in likelihood.named)
        if shown:
            scores[name] = shown / sum(weights.values())
    return tuple(sorted(scores, key=lambda one: (-scores[one], knowledge.symptoms[one].name))[:MOST])


def shown(knowledge: Knowledge, engine: Variant, check: str, answer: str) -> str:
    """Return the fault that something seen shows plainly; "" where it shows none so."""
    return plain.found(Scope(knowledge, engine), check, answer)


def findings(check: Check) -> list[str]:
    """Return the answers of a check that show something."""
    return [name for name, answer in check.answers.items() if not answer.healthy and not answer.mends]
