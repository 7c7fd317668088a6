"""Setting an engine for a practice: by a lesson, by a mentor's hidden fault, or drawn at random.

What is set must show: an engine on which the fault is too mild for the symptom, or that shows another, is drawn again.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
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

TRIED_INSTEAD = 60
"""Engines on which it is tried what a fault shows, where it does not show what was asked for."""

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
    instead: Counter[str] = Counter()
    for attempt in range(_tries(symptom, draws)):
        base = sound_engine(f"{seed} {attempt}", knowledge)
        fits = base.variant == variant if variant else _fits(knowledge, wrong, base.variant)
        if base.stored or not fits or not dict(off).keys() <= set(screws(base.variant)):
            continue
        troubles = tuple(drawn_trouble(base, fault, rng, bad) for fault, bad in wrong.items())
        begun = Begun(f"{seed} {attempt}", symptom, troubles, knowledge=knowledge.digest, turned=off)
        engine = _wrong(base, begun, knowledge)
        if engine.strength(symptom) >= 1 and all(
            symptoms.shown(with_trouble(base, one).state).keys() & known for one in troubles
        ):
            return begun
        if attempt < TRIED_INSTEAD:
            instead.update(symptoms.shown(engine.state).keys() & known)
    raise DiagnoseError(_refusal(knowledge, symptom, wrong, [one for one, _ in instead.most_common()], off=bool(off)))


def _tries(symptom: str, draws: int) -> int:
    """Return how many engines are drawn: few where none can show the symptom, to see what they show instead."""
    if symptom in symptoms.NEVER_SET:
        return 0
    return draws if symptom in symptoms.TOLD else min(draws, TRIED_INSTEAD)


def _refusal(knowledge: Knowledge, symptom: str, wrong: Collection[str], instead: Sequence[str], *, off: bool) -> str:
    """Say that no engine shows a symptom with all of this wrong, and which of those that it explains it does show."""
    said = knowledge.symptoms[symptom].name
    names = " and ".join(knowledge.faults[fault].name for fault in wrong)
    why = f"no simulated engine with {names}{', and its screws off,' if off else ''} shows '{said}'"
    if symptom not in symptoms.TOLD:
        why = f"the simulated engine knows the shipped symptoms, and not '{said}'"
    good = [one for one in instead if all(one in knowledge.faults[fault].explains for fault in wrong)]
    named = [f"'{knowledge.symptoms[one].name}' ({one})" for one in good[:3]]
    hint = f": {' or '.join(named)}" if named else ""
    return f"{why}; choose another symptom for it{hint}{', or let its screws stand right' if off else ''}"


def _fits(knowledge: Knowledge, wrong: Mapping[str, float | None], variant: Variant) -> bool:
    return all(knowledge.faults[fault].only.fits(variant) for fault in wrong)
