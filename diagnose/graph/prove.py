"""The proof: everything that the knowledge must keep to before the program takes a step on it.

Read and linked knowledge goes in; out comes everything that is unsafe or unsound about it, with file, line and, where
a way through a route breaks a rule, the shortest such way. Each rule has a page in docs/rules; `rules/` keeps them.
"""

from __future__ import annotations

from collections.abc import Mapping

from diagnose.graph import (
    always,
    failings,
    forms,
    guards,
    labels,
    last_word,
    lessons,
    limits,
    loose_ends,
    openings,
    rounds,
    safety,
    sense,
    simulated,
    soundness,
    texts,
    touching,
    waiting,
)
from diagnose.graph.model import Knowledge
from diagnose.graph.problem import Place, Problem
from diagnose.graph.routes import prepared

ROOMS = (
    safety,
    guards,
    forms,
    always,
    limits,
    labels,
    touching,
    openings,
    rounds,
    soundness,
    last_word,
    loose_ends,
    lessons,
    failings,
    simulated,
    sense,
    texts,
    waiting,
)


def prove(knowledge: Knowledge, places: Mapping[tuple[str, ...], Place]) -> list[Problem]:
    """Return every problem of `knowledge`, in file order; `places` says where its parts stand."""
    proof = prepared(knowledge, places)
    return sorted({problem for room in ROOMS for problem in room.problems(proof)})
