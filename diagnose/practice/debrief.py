"""After a practice: each step beside what the program would have done from there, and what the first waste was."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from diagnose.graph.model import Knowledge, Screw
from diagnose.practice import setting
from diagnose.practice.feedback import way
from diagnose.practice.happenings import (
    GaveUp,
    Hinted,
    Looked,
    MendedPart,
    PracticeEvent,
    Ran,
    SetBack,
    Tried,
    TurnedScrew,
)
from diagnose.practice.hints import SAID
from diagnose.practice.lesson import LessonLine, Practice
from diagnose.practice.mechanic import all_knowing
from diagnose.practice.ours import by_program
from diagnose.practice.score import Score, put_right, score, shows
from diagnose.reason.view import Step
from diagnose.reason.walk import Walk

STOP: Screw = "idle stop"
NOTHING = 0.02
"""Belief below which a look can show nothing that is likely."""
TIMES = 3.0
"""A look is wasteful when the program's shows so many times as much a minute."""
FAIR = 0.35
"""Belief from which a mend is fair, although it was in vain: looks err."""
SLACK = 2.0
"""The program's minutes are taken to be so many times the best possible, where it did not cure."""


class DebriefStep(NamedTuple):
    """One step of the debrief."""

    number: int
    did: str
    saw: str
    minutes: float
    """Minutes that it took."""
    program: str
    """What the program would have done then; empty when it was the same."""
    program_why: str
    remark: str
    wasteful: bool
    belief: dict[str, float]
    """After it: what could be wrong, by fault."""
    put_right: tuple[str, ...] = ()


class Debrief(NamedTuple):
    """All that there is to say about a practice."""

    steps: tuple[DebriefStep, ...]
    first_waste: DebriefStep | None
    ended: str
    faults: tuple[str, ...]
    earned: tuple[str, ...]
    lucky: tuple[str, ...]
    left: tuple[str, ...]
    minutes: float
    program_minutes: float
    program_cured: bool
    best_minutes: float
    score: Score


def debrief(practice: Practice) -> Debrief:
    """Return the debrief of a practice, ended or not."""
    engine = setting.engine(practice.begun, practice.knowledge)
    ours = by_program(practice.knowledge, practice.begun)
    best = all_knowing(engine, practice.knowledge, practice.scope)
    par = ours.minutes if ours.cured else SLACK * best.minutes
    steps = tuple(_steps(practice))
    earned, lucky = put_right(practice.lines)
    faults = tuple(trouble.fault for trouble in practice.begun.troubles)
    return Debrief(
        steps=steps,
        first_waste=next((step for step in steps[practice.begun.shown :] if step.wasteful), None),
        ended=practice.ended,
        faults=faults,
        earned=earned,
        lucky=lucky,
        left=tuple(fault for fault in faults if fault in practice.hands.wrong()),
        minutes=practice.minutes,
        program_minutes=ours.minutes,
        program_cured=ours.cured,
        best_minutes=best.minutes,
        score=score(practice, par),
    )


def _steps(practice: Practice) -> list[DebriefStep]:
    lines = practice.lines
    after = [*(line.before for line in lines), practice.walk][1:]
    told: list[DebriefStep] = []
    clock = _at_start(practice)
    for number, (line, walk) in enumerate(zip(lines, after, strict=True), 1):
        step = line.before.step(float(round(clock * 60)))
        same = step is not None and _same(line.event, step)
        remark, wasteful = _judged(lines[: number - 1], line, None if same else step)
        told.append(
            DebriefStep(
                number=number,
                did=does(practice.knowledge, line.event),
                saw=_saw(practice.knowledge, line),
                minutes=line.minutes - clock,
                program="" if same else would(step),
                program_why="" if same or step is None else step.why,
                remark=remark,
                wasteful=wasteful,
                belief=dict(walk.standing.spoken),
                put_right=line.put_right,
            )
        )
        clock = line.minutes
    return told


def _at_start(practice: Practice) -> float:
    return Practice(practice.knowledge, practice.events[:1]).minutes


def does(knowledge: Knowledge, event: PracticeEvent) -> str:
    """Return in a few words what was done."""
    match event:
        case Looked():
            return f"look: {knowledge.checks[event.check].name}"
        case MendedPart():
            return f"mend: {knowledge.faults[event.fault].name}"
        case TurnedScrew():
            hours = abs(event.hours)
            turned = f"{event.screw} {hours:g} {'hour' if hours == 1 else 'hours'} {way(event.screw, event.hours)}"
            return f"turn: {turned}{f', idle stop {way(STOP, event.stop)}' if event.stop else ''}"
        case SetBack():
            return "go back to the record"
        case Ran(laps=True):
            return "drive fast laps, and read the head as it comes in"
        case Ran():
            return "run it warm, and read the head"
        case Tried():
            return "try it again"
        case Hinted():
            return f"hint: {SAID[event.strength]}"
        case GaveUp():
            return "give up"
        case _:
            return "begin"


def would(step: Step | None) -> str:
    """Return in a few words what a step of the program is."""
    if step is None:
        return "end here"
    kinds = {
        "ask": "look: ",
        "recheck": "look again: ",
        "mend": "mend: ",
        "adjust": "turn: ",
        "follow": "turn: ",
        "refer": "",
        "retest": "",
        "undo": "",
        "restore": "",
        "prepare": "",
    }
    return f"{kinds[step.kind]}{step.title}"


def _same(event: PracticeEvent, step: Step) -> bool:
    """Say whether what was done is what the program would have done."""
    match event:
        case Looked():
            return step.kind in ("ask", "recheck") and step.id == event.check
        case MendedPart():
            return step.kind in ("mend", "restore") and step.id == event.fault
        case TurnedScrew():
            turned = (event.screw, way(event.screw, event.hours))
            asked = any(turned == (turn.screw, turn.way) for turn in step.turns)
            return (step.kind in ("adjust", "follow") and asked) or (step.kind == "undo" and step.id == event.screw)
        case SetBack():
            return step.kind == "restore"
        case Ran():
            return step.kind == "prepare" and not event.laps
        case Tried():
            return step.kind == "retest"
        case GaveUp():
            return step.kind == "refer"
        case _:
            return False


def _saw(knowledge: Knowledge, line: LessonLine) -> str:
    if line.answer and isinstance(line.event, Looked):
        return knowledge.checks[line.event.check].answers[line.answer].say
    return line.came if not isinstance(line.event, MendedPart) else ""


def _judged(before: Sequence[LessonLine], line: LessonLine, step: Step | None) -> tuple[str, bool]:
    """Return a remark about a step, and whether it was wasteful; `step` is the program's, None when it was the same."""
    walk, event = line.before, line.event
    if line.hazards:
        return line.hazards[0], True
    match event:
        case Looked() if step is not None:
            return _wasted_look(walk, event.check, step)
        case MendedPart():
            return _judged_mend(walk, line, event.fault)
        case TurnedScrew() if line.early:
            return f"Too early: {line.early[0]}.", True
        case TurnedScrew() if walk.standing.belief and line.put_right:
            return "That was it.", False
        case Tried() if _nothing_done(before):
            return "Nothing had been done since the last try, so that nothing could have changed.", True
        case GaveUp() if step is not None and step.kind == "mend":
            return f"It had been found: {step.title}.", False
        case _:
            return "", False


def _wasted_look(walk: Walk, check: str, step: Step) -> tuple[str, bool]:
    """Return why a look was worth little, if it was."""
    scope, state = walk.scope, walk.state
    if check in state.answers and state.healthy(scope, check):
        return "It had come out well before, and nothing has been done since that could change it.", True
    if check in scope.guards:
        return "", False
    mine = _held(walk, check)
    if mine < NOTHING:
        return "It can show nothing that is likely here.", True
    minutes = max(walk.ask(check).minutes, 0.5)
    if step.kind != "ask" or step.id in scope.guards:
        return "", False
    theirs, their_minutes = _held(walk, step.id), max(step.minutes, 0.5)
    if theirs / their_minutes > TIMES * mine / minutes:
        told = f"It could show {mine:.0%} of what was likely, in {minutes:.2g} min."
        return f"{told} '{step.title}' could show {theirs:.0%}, in {their_minutes:.2g} min.", True
    return "", False


def _held(walk: Walk, check: str) -> float:
    """Return the chance that a check shows one of the faults that are likely."""
    shown = walk.scope.shown(check)
    return sum(share * chance for fault, chance in shown.named.items() if (share := walk.standing.belief.get(fault, 0)))


def _judged_mend(walk: Walk, line: LessonLine, fault: str) -> tuple[str, bool]:
    if line.put_right:
        guessed = not any(shows(walk, one) for one in (*line.put_right, fault))
        return ("It was right, and a guess: nothing had shown it.", False) if guessed else ("That was it.", False)
    if not line.in_vain:
        return "", False
    share = walk.standing.belief.get(fault, 0.0)
    if shows(walk, fault) or share >= FAIR:
        return "It was sound. What was seen spoke for it all the same: looks err.", False
    return f"It was sound, and nothing had shown it: it held {share:.0%} of the belief.", True


def _nothing_done(before: Sequence[LessonLine]) -> bool:
    """Say whether nothing was done to the engine since it was last tried, or since the start."""
    for line in reversed(before):
        if isinstance(line.event, (MendedPart, TurnedScrew, SetBack)) or line.put_right:
            return False
        if isinstance(line.event, Tried):
            return True
    return True
