"""How far learners have come: what they have practised, what comes next, and what practice has done for them."""

from __future__ import annotations

from diagnose.graph.model import Knowledge
from diagnose.practice.effect import Pair, pairs
from diagnose.practice.way import DonePractice, NextEngine, next_engine
from diagnose.record.journal import Journal
from diagnose.workshop.learners import LearnerResult, Scored, results


def done(journal: Journal, learner: str) -> list[DonePractice]:
    """Return what a learner's practices came to, oldest first, as the learner's way goes by it."""
    return [_done(one.scored) for one in results(journal, learner)]


def _done(scored: Scored) -> DonePractice:
    return DonePractice(
        scored.symptom,
        scored.faults,
        scored.lesson,
        scored.ended,
        scored.minutes,
        scored.program_minutes,
        scored.hazards,
        scored.early,
        scored.earned,
        scored.shown,
        scored.worked,
    )


def next_for(journal: Journal, known: Knowledge, learner: str, seed: str) -> NextEngine | None:
    """Return the engine that comes next for a learner."""
    return next_engine(known, done(journal, learner), seed)


def all_pairs(known: Knowledge, found: list[LearnerResult]) -> tuple[Pair, ...]:
    """Return the first and second faults of every learner of these results."""
    by: dict[str, list[DonePractice]] = {}
    for one in found:
        by.setdefault(one.learner, []).append(_done(one.scored))
    return tuple(pair for mine in by.values() for pair in pairs(known, mine))
