"""Setting an engine for a practice: by a lesson, by a mentor's hidden fault, or drawn at random.

What is set must show: an engine on which the fault is too mild for the symptom, or that shows another, is drawn again.
"""

from __future__ import annotations

from collections.abc import Mapping
from random import Random

from msgspec.structs import replace

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge, Screw, Variant
from diagnose.graph.problem import did_you_mean
from diagnose.practice import symptoms
from diagnose.practice.engine import SimEngine, drawn_trouble, random_engine, sound_engine, with_trouble
from diagnose.practice.faults import acts_on_nothing
from diagnose.practice.feedback import screws
from diagnose.practice.happenings import Begun

MOST_DRAWS = 2000
"""Sound engines that are looked at, before it is held that none can be set so."""


def engine(begun: Begun, knowledge: Knowledge) -> SimEngine:
    """Return the engine at which a practice began. Raises `DiagnoseError` for a fault that no engine can have."""
    return _wrong(sound_engine(begun.seed, knowledge), begun, knowledge)


def _wrong(base: SimEngine, begun: Begun, knowledge: Knowledge) -> SimEngine:
    """Return a sound engine with what a practice begins with wrong with it."""
    made = replace(base, recorded=begun.recorded, complaint=begun.symptom)
    for trouble in begun.troubles:
        row = knowledge.simulated_faults.get(trouble.fault)
        if row is None or not 0 <= trouble.mode < len(row.modes):
            raise DiagnoseError(f"the simulated engine has no fault '{trouble.fault}' of that kind")
        made = with_trouble(made, trouble)
    return made.turned(dict(begun.turned))


def from_lesson(knowledge: Knowledge, name: str) -> Begun:
    """Set the engine of a lesson: the same for everybody. Raises `DiagnoseError` when there is no such lesson."""
    if name not in knowledge.lessons:
        raise DiagnoseError(f"there is no lesson '{name}'{did_you_mean(name, knowledge.lessons)}")
    lesson = knowledge.lessons[name]
    seed = name if lesson.drawn == 1 else f"{name} {lesson.drawn}"
    set_so = set_engine(knowledge, seed, lesson.symptom, lesson.faults, lesson.variant)
    return replace(set_so, lesson=name, recorded=lesson.record)


def hidden(knowledge: Knowledge, symptom: str, fault: str, seed: str, draws: int = MOST_DRAWS) -> Begun:
    """Set an engine by a mentor's choice; `seed` decides which engine, and how badly it has it.

    Raises `DiagnoseError` where none of so many engines that are drawn shows the symptom by that fault.
    """
    for kind, name in (("symptom", symptom), ("fault", fault)):
        known = knowledge.symptoms if kind == "symptom" else knowledge.faults
        if name not in known:
            raise DiagnoseError(f"there is no {kind} '{name}'{did_you_mean(name, known)}")
    return set_engine(knowledge, seed, symptom, {fault: None}, None, draws=draws)


def drawn(knowledge: Knowledge, seed: str, faults: int = 1) -> Begun:
    """Draw an engine with so many things wrong with it."""
    made = random_engine(seed, knowledge, faults)
    return Begun(seed, made.complaint, made.troubles, made.recorded, knowledge=knowledge.digest)


def set_engine(
    knowledge: Knowledge,
    seed: str,
    symptom: str,
    wrong: Mapping[str, float | None],
    variant: Variant | None,
    turned: Mapping[Screw, float] | None = None,
    draws: int = MOST_DRAWS,
) -> Begun:
    """Draw engines until one shows the symptom with all of this wrong, and each of it by itself shows something."""
    if unknown := [acts_on_nothing(fault) for fault in wrong if fault not in knowledge.simulated_faults]:
        raise DiagnoseError("\n".join(unknown))
    off = tuple((turned or {}).items())
    rng = Random(f"{seed} set")
    known = frozenset(knowledge.symptoms)
    for attempt in range(draws if symptom not in symptoms.NEVER_SET else 0):
        base = sound_engine(f"{seed} {attempt}", knowledge)
        fits = base.variant == variant if variant else _fits(knowledge, wrong, base.variant)
        if base.stored or not fits or not dict(off).keys() <= set(screws(base.variant)):
            continue
        troubles = tuple(drawn_trouble(base, fault, rng, bad) for fault, bad in wrong.items())
        begun = Begun(f"{seed} {attempt}", symptom, troubles, knowledge=knowledge.digest, turned=off)
        if _wrong(base, begun, knowledge).strength(symptom) >= 1 and all(
            symptoms.shown(with_trouble(base, one).state).keys() & known for one in troubles
        ):
            return begun
    names = " and ".join(knowledge.faults[fault].name for fault in wrong)
    raise DiagnoseError(
        f"no simulated engine with {names} shows '{knowledge.symptoms[symptom].name}'; choose another symptom for it"
    )


def _fits(knowledge: Knowledge, wrong: Mapping[str, float | None], variant: Variant) -> bool:
    return all(knowledge.faults[fault].only.fits(variant) for fault in wrong)
