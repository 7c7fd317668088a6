"""What a class came to, for one sheet: each seat by what was done, and what nobody found."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from diagnose.graph.model import Knowledge
from diagnose.practice import explain, setting
from diagnose.practice.debrief import does
from diagnose.practice.happenings import Begun, Hinted, NamedInCase, Ruled, TurnedScrew
from diagnose.practice.lesson import LessonLine, Practice
from diagnose.practice.mechanic import all_knowing
from diagnose.practice.ours import by_program
from diagnose.practice.score import put_right


class EarlyTurn(NamedTuple):
    """A screw that was turned before its time."""

    number: int
    """The step, from 1."""
    did: str
    because: str


class Missed(NamedTuple):
    """A look that showed something else than was expected of it."""

    check: str
    expected: str
    seen: str


class SeatRow(NamedTuple):
    """One seat of a class."""

    nickname: str
    ended: str
    """Empty while it goes on."""
    steps: int
    minutes: float
    skipped: tuple[str, ...]
    """Guards that had not been seen to when the engine ran."""
    early: tuple[EarlyTurn, ...]
    earned: tuple[str, ...]
    lucky: tuple[str, ...]
    left: tuple[str, ...]
    """Faults that are still there."""
    in_vain: int
    """Mends of what was sound."""
    hazards: int
    """Steps by which something was risked."""
    hints: int
    looks: int
    predicted: int
    """Looks of which something was expected."""
    as_expected: int
    explained: int
    fitting: int
    """Explanations that fit what was seen."""
    missed: tuple[Missed, ...]
    rule: str
    case: bool | None
    """The question on a new case was answered rightly; None where it was not answered."""


class GroupSheet(NamedTuple):
    """A class at one engine."""

    begun: Begun
    rows: tuple[SeatRow, ...]
    faults: tuple[str, ...]
    nobody: tuple[str, ...]
    """Faults that none of those who have ended put right."""
    program_minutes: float
    program_cured: bool
    best_minutes: float

    @property
    def ended(self) -> tuple[SeatRow, ...]:
        """Those who have come to an end."""
        return tuple(row for row in self.rows if row.ended)


def group_sheet(knowledge: Knowledge, begun: Begun, seats: Sequence[tuple[str, Practice]]) -> GroupSheet:
    """Return what a class came to: `seats` are nicknames with their practices, all at the engine of `begun`."""
    engine, scope = setting.engine(begun, knowledge), Practice(knowledge, [begun]).scope
    ours = by_program(knowledge, begun)
    rows = tuple(seat_row(nickname, practice) for nickname, practice in seats)
    faults = tuple(trouble.fault for trouble in begun.troubles)
    found = {fault for row in rows for fault in (*row.earned, *row.lucky)}
    ended = any(row.ended for row in rows)
    return GroupSheet(
        begun,
        rows,
        faults,
        tuple(fault for fault in faults if ended and fault not in found),
        ours.minutes,
        ours.cured,
        all_knowing(engine, knowledge, scope).minutes,
    )


def seat_row(nickname: str, practice: Practice) -> SeatRow:
    """Return what one learner did."""
    looks = explain.looks(practice)
    earned, lucky = put_right(practice.lines)
    wrong = practice.hands.wrong()
    rule, named = practice.said(Ruled), practice.said(NamedInCase)
    return SeatRow(
        nickname=nickname,
        ended=practice.ended,
        steps=len(practice.lines),
        minutes=practice.minutes,
        skipped=skipped(practice),
        early=tuple(_early(practice, number, line) for number, line in enumerate(practice.lines, 1) if line.early),
        earned=earned,
        lucky=lucky,
        left=tuple(trouble.fault for trouble in practice.begun.troubles if trouble.fault in wrong),
        in_vain=sum(line.in_vain for line in practice.lines),
        hazards=sum(bool(line.hazards) for line in practice.lines),
        hints=sum(isinstance(line.event, Hinted) for line in practice.lines),
        looks=len(looks),
        predicted=sum(bool(look.expected) for look in looks),
        as_expected=sum(bool(look.expected) and look.expected == look.line.answer for look in looks),
        explained=sum(bool(look.about) for look in looks),
        fitting=sum(bool(look.about) and explain.fits(practice.scope, look) for look in looks),
        missed=tuple(_missed(look) for look in looks if look.expected and look.expected != look.line.answer),
        rule=rule.rule if rule is not None else "",
        case=named.fault == named.right if named is not None else None,
    )


def skipped(practice: Practice) -> tuple[str, ...]:
    """Return the guards that had not been seen to when the engine ran."""
    found: dict[str, None] = {}
    for line in practice.lines:
        if line.hazards and not isinstance(line.event, TurnedScrew):
            state = line.before.state
            found |= {guard: None for guard in practice.scope.guards if not state.healthy(practice.scope, guard)}
    return tuple(found)


def _early(practice: Practice, number: int, line: LessonLine) -> EarlyTurn:
    return EarlyTurn(number, does(practice.knowledge, line.event), line.early[0])


def _missed(look: explain.ExplainedLook) -> Missed:
    return Missed(look.check, look.expected, look.line.answer)
