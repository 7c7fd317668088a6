"""The plan of what is owed before a needle: what is to be looked at, and no more."""

from __future__ import annotations

import pytest
from shipped import load

from diagnose.graph.model import Variant
from diagnose.reason import events as ev
from diagnose.reason.explain import owed_plan
from diagnose.reason.walk import begin

KNOWLEDGE = load()


@pytest.mark.parametrize("symptom", [name for name in KNOWLEDGE.symptoms if KNOWLEDGE.explaining(name, Variant())])
def test_each_look_that_is_owed_looks_for_what_those_before_it_leave_and_together_they_miss_nothing(
    symptom: str,
) -> None:
    walk = begin(KNOWLEDGE, ev.Started(0.0, KNOWLEDGE.digest, symptom, "", Variant()))
    left = walk.standing.first_open
    could = frozenset[str]().union(*map(walk.scope.clears, walk.decision.looking.open_checks("first")))
    for look in owed_plan(walk):
        assert look.id in walk.scope.guards or look.clears & left, look.id
        left -= look.clears
    assert not left & could
