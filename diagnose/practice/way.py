"""A learner's way: which engine comes next, why, and how many of its first steps are shown.

A family is the faults of one area. The first engine of a family comes behind a worked example, and of its steps only
the last are the learner's, from what puts it right on; then half of the looks before that too; then all. So the end of
the work, which all the looks are for, is practised first (backward fading; from memory of what is written on worked
examples). What went wrong takes a family a level back and brings it again soon; what went well brings it again after
twice as many engines as the last time. No family follows itself, but for a sister fault after a hint that showed the
step.
"""

from __future__ import annotations

from collections.abc import Sequence
from random import Random
from typing import Literal, NamedTuple

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge
from diagnose.practice import setting, worked
from diagnose.practice.happenings import Begun
from diagnose.practice.lesson import CURED, Practice
from diagnose.practice.ours import by_program, in_vain
from diagnose.practice.worked import Own, advised, faded

OWN: tuple[Own, ...] = ("end", "half", "all")
"""Which of the program's steps are the learner's, at each level: a judgement."""
SHORT = 30.0
"""Minutes that the program takes at most at an engine that it shows how to work at: a judgement."""
PAIRS, TRIES = 5, 2
"""Faults with a complaint, and engines of each, that are looked at for one that shows how to go about it."""
FEW_DRAWS = 25
"""Sound engines that are drawn for a fault, before another one is taken."""
ALONE = len(OWN) - 1

WhyNext = Literal["sister", "missed", "again", "new", "any"]


class DonePractice(NamedTuple):
    """What a practice came to, as far as the way goes by it."""

    symptom: str
    faults: tuple[str, ...]
    lesson: str
    ended: str
    minutes: float
    program_minutes: float
    hazards: int | None
    """None where it was not counted, long ago."""
    early: int | None
    earned: tuple[str, ...]
    shown: int = 0
    """Steps that the program did first."""
    worked: bool = False
    """A hint showed the step."""

    @property
    def missed(self) -> bool:
        """Whether something went wrong: not put right by looking, something risked, a screw turned too early."""
        return self.ended != CURED or not set(self.faults) <= set(self.earned) or bool(self.hazards or self.early)


class NextEngine(NamedTuple):
    """The engine that comes next."""

    family: str
    symptom: str
    fault: str
    lesson: str
    """Empty where it is none."""
    level: int
    why: WhyNext

    @property
    def example(self) -> bool:
        """A worked example comes before it."""
        return self.level == 0


def family(knowledge: Knowledge, done: DonePractice) -> str:
    """Return the family of a practice: the area of its first fault; empty when the knowledge has lost it."""
    found = knowledge.faults.get(done.faults[0]) if done.faults else None
    return found.area if found is not None else ""


def level(of: Sequence[DonePractice]) -> int:
    """Return the level that the practices of one family have come to, oldest first."""
    now = 0
    for one in of:
        now = max(now - 1, 0) if one.missed else min(now + 1, ALONE)
    return now


def next_engine(knowledge: Knowledge, done: Sequence[DonePractice], seed: str) -> NextEngine | None:
    """Return the engine that comes next for a learner; `done` is oldest first. None where nothing can be simulated."""
    families = _families(knowledge)
    last = family(knowledge, done[-1]) if done else ""
    if done and done[-1].worked and last in families and (made := _of(knowledge, last, done, seed, "sister")):
        return made
    for name, why in _order(knowledge, list(families), done, last):
        if made := _of(knowledge, name, done, seed, why):
            return made
    return None


def _order(
    knowledge: Knowledge, families: Sequence[str], done: Sequence[DonePractice], last: str
) -> list[tuple[str, WhyNext]]:
    """Return the families with the reason of each, the next one first."""
    since: dict[str, int] = {}
    of: dict[str, list[DonePractice]] = {}
    for number, one in enumerate(done):
        name = family(knowledge, one)
        since[name] = len(done) - 1 - number
        of.setdefault(name, []).append(one)
    late: list[tuple[int, int, str]] = []
    for name, mine in of.items():
        over = since[name] - _gap(mine)
        if name in families and name != last and over >= 0:
            late.append((0 if mine[-1].missed else 1, -over, name))
    due: list[tuple[str, WhyNext]] = [(name, "again" if well else "missed") for well, _, name in sorted(late)]
    fresh: list[tuple[str, WhyNext]] = [(name, "new") for name in families if name not in of]
    rest = sorted((name for name in families if name in of), key=lambda name: (name == last, -since[name]))
    anything: list[tuple[str, WhyNext]] = [(name, "any") for name in rest]
    return [*due, *fresh, *anything]


def _gap(of: Sequence[DonePractice]) -> int:
    """Return how many other engines come before a family comes again: 1 after a miss, and twice as many each time."""
    well = 0
    for one in reversed(of):
        if one.missed:
            break
        well += 1
    return int(2**well)


def _families(knowledge: Knowledge) -> dict[str, list[str]]:
    """Return the faults that an engine can have by area, the areas in the order of the lessons."""
    found: dict[str, list[str]] = {}
    for lesson in knowledge.lessons.values():
        found.setdefault(knowledge.faults[next(iter(lesson.faults))].area, [])
    for name in knowledge.simulated_faults:
        if name in knowledge.faults:
            found.setdefault(knowledge.faults[name].area, []).append(name)
    return {name: faults for name, faults in found.items() if faults}


def _of(knowledge: Knowledge, name: str, done: Sequence[DonePractice], seed: str, why: WhyNext) -> NextEngine | None:
    """Return an engine of a family: its next lesson, or the fault practised least; None where there is none."""
    mine = [one for one in done if family(knowledge, one) == name]
    at, lessons_done = level(mine), {one.lesson for one in done}
    if why != "sister":
        for key, lesson in knowledge.lessons.items():
            fault = next(iter(lesson.faults))
            if key not in lessons_done and knowledge.faults[fault].area == name:
                return NextEngine(name, lesson.symptom, fault, key, at, why)
    worked_at = [fault for one in mine for fault in one.faults]
    last = done[-1].faults if done else ()
    faults = _families(knowledge)[name]
    Random(f"{seed} {len(done)} next").shuffle(faults)
    found = [
        NextEngine(name, symptom, fault, "", at, why)
        for fault in sorted(faults, key=lambda one: (one in last, worked_at.count(one)))
        # the complaint that was had last comes first: the same sign, another cause
        for symptom in sorted(knowledge.faults[fault].explains, key=lambda one: not (mine and mine[-1].symptom == one))
        if symptom in knowledge.symptoms
    ]
    shows = (made for made in found[:PAIRS] if at < ALONE and _showing(knowledge, made.symptom, made.fault, seed))
    any_of_them = (made for made in found if _hidden(knowledge, made.symptom, made.fault, seed))
    return next(shows, None) or next(any_of_them, None)


def _showing(knowledge: Knowledge, symptom: str, fault: str, seed: str) -> Begun | None:
    """Set an engine that shows how to go about it: the program is soon done there, and no look leads it astray."""
    for number in range(TRIES):
        if (begun := _hidden(knowledge, symptom, fault, f"{seed} {number}")) is None:
            return None
        ours = by_program(knowledge, begun)
        if ours.cured and ours.minutes <= SHORT and not in_vain(ours):
            return begun
    return None


def _hidden(knowledge: Knowledge, symptom: str, fault: str, seed: str) -> Begun | None:
    try:
        return setting.hidden(knowledge, symptom, fault, seed, FEW_DRAWS)
    except DiagnoseError:
        return None


def _engine(knowledge: Knowledge, made: NextEngine, seed: str) -> Begun:
    if made.lesson:
        return setting.from_lesson(knowledge, made.lesson)
    shows = _showing(knowledge, made.symptom, made.fault, seed) if made.level < ALONE else None
    return shows or setting.hidden(knowledge, made.symptom, made.fault, seed)


def begin(knowledge: Knowledge, made: NextEngine, seed: str) -> Practice:
    """Begin at an engine, with the first of the program's steps done as its level has it."""
    begun = _engine(knowledge, made, seed)
    practice = faded(Practice(knowledge, [begun]), OWN[made.level])
    return max(practice, worked.begin(knowledge, begun), key=lambda one: one.begun.shown)


def example(knowledge: Knowledge, made: NextEngine, seed: str) -> Practice | None:
    """Return another engine as the program itself works at it; none where none can be set that shows it.

    It has a sister fault, with the same complaint if that can be, or else another fault with that complaint: the fault
    itself would give away what comes next.
    """
    sisters = [fault for fault in _families(knowledge)[made.family] if fault != made.fault]
    pairs = [(one, fault) for fault in sisters for one in knowledge.faults[fault].explains]
    Random(f"{seed} example").shuffle(pairs)
    pairs.sort(key=lambda one: one[0] != made.symptom)
    others = [(made.symptom, fault) for faults in _families(knowledge).values() for fault in faults]
    for symptom, fault in [
        (symptom, fault)
        for symptom, fault in (*pairs[:PAIRS], *others)
        if fault != made.fault and symptom in knowledge.faults[fault].explains and symptom in knowledge.symptoms
    ][: 2 * PAIRS]:
        if (begun := _showing(knowledge, symptom, fault, f"{seed} example")) is not None:
            return advised(Practice(knowledge, [begun]))
    return None
