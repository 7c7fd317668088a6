"""What a complaint excludes is what the simulated engine can't do while it shows it."""

from __future__ import annotations

import pytest
from shipped import load

from diagnose.practice.symptom_strengths import KICKS, SHOWS

KNOWLEDGE = load()
FAILS = {0: "turns", 1: "catches", 2: "catches", 3: "runs", 4: "idles"}
"""By the stage that fails, the nearest thing that the engine does not do."""


@pytest.mark.parametrize("symptom", [name for name, one in SHOWS.items() if one.stage <= 5 and name != KICKS])
def test_the_complaint_excludes_what_fails_and_nothing_before_it(symptom: str) -> None:
    excluded, ladder = KNOWLEDGE.symptoms[symptom].excluded, ("turns", "catches", "runs", "idles")
    fails = FAILS.get(SHOWS[symptom].stage)
    wanted = set(ladder[ladder.index(fails) :]) if fails else set()
    assert excluded & set(ladder) == wanted
    assert not fails or {"drives", "hot"} <= excluded


def test_an_engine_that_kicks_back_sometimes_catches_and_never_runs_on() -> None:
    assert {"runs", "idles", "drives", "hot"} == KNOWLEDGE.symptoms[KICKS].excluded
