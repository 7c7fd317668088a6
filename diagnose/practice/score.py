"""The score of a practice: 0 to 100, and it cannot be gained by guessing.

A fault counts in full only when it was *earned*: something that was seen had shown it, or left it the likeliest by far,
before it was put right. A lucky mend is worth a fifth of that, and every mend of something sound costs about as much as
a lucky one brings: whoever is right at the first guess has fewer points than whoever looked and was slow. Speed and
care are counted on what was earned only, so that doing nothing quickly and carefully is worth nothing. Who found it
and did not mend it gets what looking is worth.

All points are a judgement, fixed before anybody played.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from diagnose.practice.happenings import GaveUp, Hinted, Looked, MendedPart, SetBack, TurnedScrew
from diagnose.practice.hints import COSTS
from diagnose.practice.lesson import CURED, LessonLine, Practice
from diagnose.reason.walk import Walk

FOUND, PACE, CARE = 60.0, 25.0, 15.0
LUCKY = 0.2
"""The share of `FOUND` that a mend is worth when nothing had shown the fault."""
SHOWN = 20.0
"""Points for having seen what is wrong without putting it right, or for an honest hand-over."""
WRONG_MEND, HAZARD, EARLY = 10.0, 10.0, 5.0

SURE = 0.5
"""Belief from which a fault is the likeliest by far."""
LIKELY, TIMES = 0.3, 3.0
"""An answer shows a fault that makes it this likely, and so many times likelier than no fault does."""


class ScorePart(NamedTuple):
    """One part of the score: what for, and how many points, negative when they are taken off."""

    what: str
    points: float


class Score(NamedTuple):
    """The points of a practice, and how they came about."""

    points: int
    parts: tuple[ScorePart, ...]
    earned: tuple[str, ...]
    """Faults put right after something had shown them."""
    lucky: tuple[str, ...]
    """Faults put right by a guess."""


def score(practice: Practice, par: float) -> Score:
    """Return the score of a practice; `par` is the minutes that the program takes for the same engine."""
    faults = [trouble.fault for trouble in practice.begun.troubles]
    earned, lucky = put_right(practice.lines)
    own = practice.lines[practice.begun.shown :]
    share = len(earned) / max(len(faults), 1)
    left = [fault for fault in faults if fault not in (*earned, *lucky)]
    shown = sum(shows(practice.walk, fault) for fault in left)
    parts = [
        ScorePart("found by looking", FOUND * share),
        ScorePart("put right by luck", FOUND * LUCKY * len(lucky) / max(len(faults), 1)),
        ScorePart("seen, and not put right", SHOWN * shown / max(len(faults), 1)),
        ScorePart(
            "handed over when nothing more could be done", SHOWN * (not earned and not shown and _honest(practice))
        ),
        ScorePart("minutes against the program's", PACE * share * _pace(practice, par)),
        ScorePart("care", CARE * share),
        ScorePart("mends of what was sound", -WRONG_MEND * sum(line.in_vain for line in own)),
        ScorePart("hazards", -HAZARD * sum(bool(line.hazards) for line in own)),
        ScorePart("screws turned too early", -EARLY * sum(bool(line.early) for line in own)),
        ScorePart("hints", -_hints(practice.lines)),
    ]
    told = tuple(part for part in parts if round(part.points))
    points = round(min(max(sum(part.points for part in parts), 0.0), 100.0))
    return Score(points, told, earned, lucky)


def _honest(practice: Practice) -> bool:
    """Say whether the learner stopped where the program would have handed it over."""
    stops = (line.before.step(0.0) for line in practice.lines if isinstance(line.event, GaveUp))
    return any(step is not None and step.kind == "refer" for step in stops)


def _pace(practice: Practice, par: float) -> float:
    """Return 1 for whoever is as quick as the program, less in proportion; 0 without a cure, or without the guards.

    Otherwise leaving them out would pay: it saves more minutes than its hazard costs.
    """
    if practice.ended != CURED or any(line.unguarded for line in practice.lines):
        return 0.0
    return min(1.0, par / max(practice.minutes, 0.1))


def _hints(lines: Sequence[LessonLine]) -> float:
    """Return what hints cost: the strongest one between two faults that were put right."""
    cost, strongest = 0.0, 0
    for line in lines:
        if isinstance(line.event, Hinted):
            strongest = max(strongest, line.event.strength)
        if line.put_right:
            cost, strongest = cost + COSTS.get(strongest, 0), 0
    return cost + COSTS.get(strongest, 0)


def put_right(lines: Sequence[LessonLine]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the faults that were put right after something had shown them, and those by a guess."""
    earned: list[str] = []
    lucky: list[str] = []
    for line in lines:
        for fault in line.put_right:
            (earned if _earned(line, fault) else lucky).append(fault)
    return tuple(dict.fromkeys(earned)), tuple(dict.fromkeys(lucky))


def _earned(line: LessonLine, fault: str) -> bool:
    walk = line.before
    match line.event:
        case MendedPart():
            return shows(walk, fault) or shows(walk, line.event.fault)
        case Looked():  # a fresh part was tried: fair when it was the likeliest, or what the program would have done
            belief, step = walk.standing.belief, walk.step(0.0)
            likeliest = max(belief, key=lambda one: (belief[one], one), default="")
            return shows(walk, fault) or fault == likeliest or (step is not None and step.id == line.event.check)
        case TurnedScrew() | SetBack():
            return shows(walk, fault) or not walk.standing.first_owed
        case _:
            return False


def shows(walk: Walk, fault: str) -> bool:
    """Say whether something that was seen shows a fault, or everything together leaves it the likeliest by far."""
    if walk.standing.belief.get(fault, 0.0) >= SURE:
        return True
    for check, given in walk.state.answers.items():
        if not walk.scope.checks[check].answers[given.answer].healthy:
            likelihood = walk.scope.answer(check, given.answer)
            most = max(map(likelihood.of, walk.scope.hypotheses(fault)))
            if most >= max(LIKELY, TIMES * likelihood.otherwise):
                return True
    return False
