"""What the looks owed before a needle take, round by round: what a racer with eight minutes wants to know."""

from __future__ import annotations

from statistics import median

import pytest
from shipped import load

from diagnose.graph.model import every_variant
from diagnose.measure.testability import owed_minutes

KNOWLEDGE = load()


@pytest.mark.slow
def test_the_owed_looks_of_most_symptoms_fit_into_eight_minutes_on_every_engine() -> None:
    worst = {
        symptom: max(owed_minutes(KNOWLEDGE, symptom, engine) for engine in every_variant())
        for symptom in KNOWLEDGE.symptoms
    }
    # 7.5, 11 and 22 are wanted; since every form and complaint is listed this is what holds
    assert median(worst.values()) <= 8
    assert max(worst.values()) <= 14
    assert sum(took <= 8 for took in worst.values()) >= 19
