"""What the practice bench can't show of some knowledge: a fault, a check or a lesson, and why."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge
from diagnose.practice import setting, symptoms
from diagnose.practice.engine import drawn_trouble, sound_engine, with_trouble
from diagnose.practice.faults import acts_on_nothing
from diagnose.practice.symptoms import FIRST_START

TRIES = 60
"""Engines on which a fault is tried at its worst, before it is held that none shows it."""


def missing(knowledge: Knowledge) -> Iterator[str]:
    """Yield a sentence for each fault, check and lesson that the practice bench can't show."""
    for name in knowledge.faults:
        if name not in knowledge.simulated_faults:
            yield acts_on_nothing(name)
        elif not _shows(knowledge, name):
            listed = ", ".join(f"'{symptom}'" for symptom in knowledge.faults[name].explains)
            yield (
                f"'{name}' shows none of what it explains on the practice bench ({listed}): let it act like another "
                "fault, or on other parts"
            )
    for name, check in knowledge.checks.items():
        if name not in knowledge.simulated_checks and not check.named() & knowledge.simulated_faults.keys():
            yield (
                f"nothing is seen at '{name}' on the practice bench, which can't show any fault that it names: give "
                "those faults what they act like, or the check a row in simulated/checks.yaml"
            )
    for name in knowledge.lessons:
        try:
            setting.from_lesson(knowledge, name)
        except DiagnoseError as error:
            why = " ".join(str(error).splitlines())
            yield f"the lesson '{name}' can't be set: {why}"


def _shows(knowledge: Knowledge, name: str) -> bool:
    """Say whether a fault at its worst shows any complaint that it explains, on some engine that can have it."""
    fault = knowledge.faults[name]
    listed = fault.explains.keys() & knowledge.symptoms.keys()
    if not listed - {FIRST_START}:
        return True  # nobody complains of it
    rng = Random(f"{name} shows")
    for number in range(TRIES):
        engine = sound_engine(f"shows {number}", knowledge)
        if fault.only.fits(engine.variant) and not engine.stored:
            bad = with_trouble(engine, drawn_trouble(engine, name, rng, 1.0))
            if symptoms.shown(bad.state).keys() & listed:
                return True
    return False
