"""Why a needle was turned at a mechanical fault: the mission's own figure, by reason."""

from __future__ import annotations

from typing import Literal, get_args

from diagnose.graph.model import Screw
from diagnose.reason import events as ev
from diagnose.reason.walk import Walk

Early = Literal[
    "",
    "only a strip-down shows it",
    "not listed for this complaint",
    "seen, then argued away",
    "every look missed it",
    "no look was made for it",
]
"""Why the fault was not found before the needle; "" where no needle was turned at it."""

REASONS: tuple[Early, ...] = get_args(Early)[1:]

NEEDLES: tuple[Screw, ...] = ("low needle", "mid needle", "high needle")


def why_early(walk: Walk, fault: str) -> Early:
    """Return why `fault`, which is there, was not found before the needle that `walk` turns next."""
    looks = list(_answered(walk))
    if any(_accuses(walk, check, answer, fault) for check, answer in looks):
        return "seen, then argued away"
    if any(fault in walk.scope.clears(check) for check, _ in looks):
        return "every look missed it"
    known = walk.scope.faults[fault]
    if walk.symptom not in known.explains and known.first_look != "always":
        return "not listed for this complaint"
    return "only a strip-down shows it" if known.first_look == "none" else "no look was made for it"


def _accuses(walk: Walk, check: str, answer: str, fault: str) -> bool:
    """Say whether an answer that is not healthy is likelier with the fault than with any that is not named."""
    likelihood = walk.scope.answer(check, answer)
    return not walk.scope.checks[check].answers[answer].healthy and likelihood.of(fault) > likelihood.otherwise


def _answered(walk: Walk) -> list[tuple[str, str]]:
    """Return every look of the walk with its answer, those that were made again too."""
    found: list[tuple[str, str]] = []
    for event in walk.events:
        if isinstance(event, ev.Answered) and event.answer not in ev.NOT_ANSWERS:
            found.append((event.check, event.answer))
        elif isinstance(event, ev.Measured):
            check = walk.scope.checks[event.check]
            found.append((event.check, walk.knowledge.band(check, event.value, walk.scope.engine)))
    return found
