"""The engine of a class: one for all seats from one seed, set by a mentor's wish or drawn to a level."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct
from msgspec.structs import replace

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge, Screw
from diagnose.graph.problem import did_you_mean
from diagnose.practice import setting
from diagnose.practice.allowed import MOST_AT_ONCE
from diagnose.practice.feedback import EVERY_SCREW
from diagnose.practice.happenings import Begun
from diagnose.practice.ours import by_program
from diagnose.tune import typed

MOST_FAULTS = 2
LONGEST_STORY = 200
"""Characters that a mentor may let the owner say."""
LEVELS: dict[int, str] = {
    1: "one thing wrong, soon found",
    2: "one thing wrong, found only by many looks",
    3: "two things wrong, and its needles off",
}
SOON, LONG = 20.0, 60.0
"""Minutes by the program's advice up to which an engine is of the first, and of the second level: a judgement."""
OFF: Mapping[Screw, float] = {"high needle": 2.0}
"""Hours that the needles are off at the third level: to the rich side, which harms no engine."""
DRAWS = 60
"""Engines that are drawn for a level, before it is held that there is none."""


class ClassWish(Struct, frozen=True):
    """What a mentor wants the engine of a class to be."""

    symptom: str
    faults: Mapping[str, float | None]
    """The hidden faults, and how badly each is there, 0 to 1; None draws that."""
    seed: str
    owner: str = ""
    """What the owner says besides."""
    turned: Mapping[Screw, float] = {}
    """Signed hours that screws are off."""


def hours_off(text: str) -> float:
    """Return by how many hours a screw is off, as somebody typed it; raises `DiagnoseError` outside what may be."""
    found = typed.hours(text)
    if not 0 < found <= MOST_AT_ONCE:
        raise DiagnoseError(f"a screw may be off by up to {MOST_AT_ONCE:g} hours, and by more than none")
    return found


def screw_off(text: str) -> tuple[Screw, float]:
    """Return which screw is off, and by how many signed hours: ``low needle=-1``; a number alone is the high needle."""
    name, _, hours = text.rpartition("=")
    screw = next((one for one in EVERY_SCREW if one == (name.strip() or "high needle")), None)
    if screw is None:
        raise DiagnoseError(f"there is no screw '{name.strip()}', only {', '.join(EVERY_SCREW)}")
    try:
        return screw, float(hours)
    except ValueError as error:
        raise DiagnoseError(f"'{hours}' is no number of hours: write '{screw}=1.5', or '{screw}=-1.5'") from error


def together(knowledge: Knowledge, wish: ClassWish) -> Begun:
    """Set the engine of a class. Raises `DiagnoseError` that says what can't be, and what to do."""
    if wish.symptom not in knowledge.symptoms:
        raise DiagnoseError(f"there is no symptom '{wish.symptom}'{did_you_mean(wish.symptom, knowledge.symptoms)}")
    for fault in wish.faults:
        if fault not in knowledge.faults:
            raise DiagnoseError(f"there is no fault '{fault}'{did_you_mean(fault, knowledge.faults)}")
    if not 1 <= len(wish.faults) <= MOST_FAULTS:
        raise DiagnoseError(f"hide one fault, or {MOST_FAULTS}; there are {len(wish.faults)}")
    if any(bad is not None and not 0 < bad <= 1 for bad in wish.faults.values()):
        raise DiagnoseError("how badly a fault is there goes from a little over 0 to 1")
    if len(wish.owner) > LONGEST_STORY or not wish.owner.isprintable():
        raise DiagnoseError(f"what the owner says is one line of {LONGEST_STORY} characters at most")
    if any(not 0 < abs(hours) <= MOST_AT_ONCE for hours in wish.turned.values()):
        raise DiagnoseError(f"a screw may be off by up to {MOST_AT_ONCE:g} hours, either way")
    made = setting.set_engine(knowledge, wish.seed, wish.symptom, wish.faults, None, wish.turned)
    return replace(made, owner=" ".join(wish.owner.split()), recorded=bool(wish.turned) or made.recorded)


def to_level(knowledge: Knowledge, level: int, seed: str) -> Begun:
    """Draw the engine of a class to a level. Raises `DiagnoseError` when there is no such level, or no such engine.

    The levels go by the minutes that the program itself takes; only mechanical faults are hidden, as beginners look
    for those before they turn a screw.
    """
    if level not in LEVELS:
        raise DiagnoseError(f"there is no level {level}: it is {', '.join(map(str, LEVELS))}")
    for number in range(DRAWS):
        made = setting.drawn(knowledge, f"{seed} {number}", MOST_FAULTS if level == max(LEVELS) else 1)
        if not all(knowledge.faults[one.fault].mechanical for one in made.troubles):
            continue
        if level == max(LEVELS):
            made = replace(made, turned=tuple(OFF.items()), recorded=True)
        if setting.engine(made, knowledge).strength(made.symptom) < 1:
            continue
        found = by_program(knowledge, made)
        fits = {1: found.minutes <= SOON, 2: SOON < found.minutes <= LONG, 3: True}
        if found.cured and fits[level]:
            return made
    raise DiagnoseError(f"no engine of level {level} can be drawn from this seed; take another one")
