"""Walks of the shipped knowledge that a mend has cured."""

from __future__ import annotations

from collections.abc import Callable

from shipped import load

from diagnose.graph.model import Variant
from diagnose.reason import events as ev
from diagnose.reason.play import play, usual
from diagnose.reason.scope import Scope
from diagnose.reason.view import Step
from diagnose.reason.walk import Walk, begin

KNOWN = load()


def mended(symptom: str, fault: str) -> Walk:
    """Return the walk of a car with this fault, up to its end."""
    walk = begin(KNOWN, ev.Started(0.0, KNOWN.digest, symptom, "", Variant(), recorded=True))
    for made in play(walk, _shows(fault)):
        walk = made.walk
    return walk


def _shows(fault: str) -> Callable[[Walk, Step], str]:
    """Answer as a car with this fault would, whose mend cures it."""

    def answer(walk: Walk, step: Step) -> str:
        match step.kind:
            case "ask" | "recheck":
                check = walk.scope.checks[step.id]
                mended = fault in walk.state.mended
                bad = [name for name, said in check.answers.items() if fault in said.given and not said.healthy]
                best = max(bad, key=lambda name: check.answers[name].given[fault], default="")
                return best if best and not mended and step.id in _plainly(fault) else check.healthy
            case "retest":
                return "cured" if fault in walk.state.mended else "same"
            case _:
                return usual(step)

    return answer


def _plainly(fault: str) -> set[str]:
    scope = Scope(KNOWN, Variant())
    return {name for name in scope.checks if fault in scope.clears(name)}
