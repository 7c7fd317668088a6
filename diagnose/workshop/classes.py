"""Classes: several learners at one same engine, as they are kept.

The stream ``class/<id>`` holds how the engine is set, and no nickname. A seat is a practice in its learner's own
stream that names the class, so that a learner who is deleted is gone from every class too.
"""

from __future__ import annotations

import re
import secrets
from collections.abc import Collection
from itertools import count
from typing import NamedTuple

import msgspec
from msgspec.structs import replace

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge
from diagnose.graph.problem import did_you_mean
from diagnose.practice.happenings import Begun
from diagnose.practice.lesson import Practice
from diagnose.record.journal import Conflict, Journal, JournalError
from diagnose.workshop.learners import (
    KeptPractice,
    LeftPractice,
    keep,
    kept_practices,
    learners,
    nickname,
    resumed,
)

CLASSES = "class/"
MOST_SEATS = 30
DIGITS = 2
"""So many a number of seats has at most."""
NUMBERED = re.compile(r"seat \d+( \(\d+\))?")
"""A seat that was set by its number."""
LAST = "last"
"""Names the newest class."""


class ClassSet(msgspec.Struct, frozen=True):
    """A class began at this engine."""

    begun: Begun


class PracticeClass(NamedTuple):
    """A class, and when it was set, in seconds since the epoch."""

    id: str
    begun: Begun
    at: float


class ClassSeat(NamedTuple):
    """One who sits there."""

    nickname: str
    kept: KeptPractice

    @property
    def number(self) -> int:
        """The number of the seat, from 1."""
        return self.kept.begun.seat


def begin(journal: Journal, begun: Begun, at: float) -> PracticeClass:
    """Store the engine of a new class; `at` in seconds since the epoch. Raises `JournalError`."""
    name = secrets.token_hex(3)
    made = replace(begun, group=name)
    journal.append(CLASSES + name, 0, [msgspec.json.encode(ClassSet(made)).decode()], at)
    return PracticeClass(name, made, at)


def every(journal: Journal) -> list[PracticeClass]:
    """Return the classes, the newest last. Raises `JournalError` for one that can't be read."""
    return [_read(journal, stream.name, stream.first_at) for stream in journal.streams(CLASSES)]


def opened(journal: Journal, name: str = LAST) -> PracticeClass:
    """Return a class by its id, or the newest; raises `DiagnoseError` when there is none."""
    known = {one.id: one for one in every(journal)}
    if not known:
        raise DiagnoseError("there is no class yet; set one: diagnose practice class set --level 1")
    if name == LAST:
        return list(known.values())[-1]
    if name not in known:
        raise DiagnoseError(f"there is no class '{name}'{did_you_mean(name, known)}")
    return known[name]


def _read(journal: Journal, stream: str, at: float) -> PracticeClass:
    try:
        found = msgspec.json.decode(journal.read(stream)[0], type=ClassSet)
    except msgspec.MsgspecError as error:
        raise JournalError(f"the journal holds a class that can't be read: {error}") from error
    return PracticeClass(stream.removeprefix(CLASSES), found.begun, at)


def seats(journal: Journal, of: PracticeClass) -> list[ClassSeat]:
    """Return who sits in a class, by the numbers of the seats.

    Who has begun twice (two windows at once) is shown by what has ended, or else by what was worked at last.
    """
    found: dict[str, ClassSeat] = {}
    for name in learners(journal):
        mine = [one for one in kept_practices(journal, name) if one.begun.group == of.id]
        if mine:
            ended = [one for one in mine if one.scored is not None]
            found[name] = ClassSeat(name, ended[0] if ended else max(mine, key=lambda one: one.at))
    return sorted(found.values(), key=lambda seat: (seat.number, seat.kept.begun_at, seat.nickname))


def sit(journal: Journal, known: Knowledge, of: PracticeClass, learner: str, at: float) -> Practice:
    """Seat a learner at the engine of a class, or return where this nickname has come to in it.

    Raises `DiagnoseError` when the knowledge is another one by now, or all seats are taken.
    """
    if of.begun.knowledge != known.digest:
        raise DiagnoseError("the knowledge has changed since this class was set: set a new one")
    name = nickname(learner)
    for _ in range(2):
        there = seats(journal, of)
        if mine := next((seat for seat in there if seat.nickname == name), None):
            return practice(known, mine)
        if len(there) >= MOST_SEATS:
            raise DiagnoseError(f"all {MOST_SEATS} seats are taken")
        number = max((seat.number for seat in there), default=0) + 1
        begun = Practice(known, [replace(of.begun, seat=number)])
        try:
            keep(journal, name, begun, 0, at)
        except Conflict:  # the same nickname sat down in another window, just now
            continue
        return begun
    raise DiagnoseError(f"'{name}' is sitting down in another window too; try again")


def keep_seat(journal: Journal, learner: str, practice: Practice, from_event: int, at: float) -> None:
    """Store the events of a seat from number `from_event` on.

    Raises `Conflict` when another window has gone on with it meanwhile; then nothing is stored.
    """
    name, mine = nickname(learner), list(practice.events[:from_event])
    if not any(list(one.events) == mine for one in kept_practices(journal, name)):
        raise Conflict(f"another window has gone on with the seat of {name}; it has been read again")
    keep(journal, name, practice, from_event, at)


def practice(known: Knowledge, seat: ClassSeat) -> Practice:
    """Return the practice of a seat; raises `DiagnoseError` when it can't be folded any more."""
    return resumed(known, LeftPractice(seat.kept.events, seat.kept.at))


def nicknames(text: str, taken: Collection[str] = ()) -> list[str]:
    """Return the nicknames that stand in a line with commas between them, or as many numbered seats as it says.

    A numbered seat that was `taken` on another day is not used again: somebody else sits there today. Raises
    `DiagnoseError` for a bad nickname.
    """
    if (number := text.strip()).isdecimal():
        return _numbered(int(number) if len(number) <= DIGITS else MOST_SEATS + 1, taken)
    found = [nickname(one) for one in text.split(",") if one.strip()]
    if twice := [name for number, name in enumerate(found) if name in found[:number]]:
        raise DiagnoseError(f"'{twice[0]}' is there twice: each needs a nickname of their own")
    if len(found) > MOST_SEATS:
        raise DiagnoseError(f"there are {len(found)} nicknames; {MOST_SEATS} seats at most")
    return found


def _numbered(number: int, taken: Collection[str]) -> list[str]:
    if number > MOST_SEATS:
        raise DiagnoseError(f"there are {MOST_SEATS} seats at most")
    sets = ([f"seat {n}{f' ({day})' if day > 1 else ''}" for n in range(1, number + 1)] for day in count(1))
    return next(names for names in sets if not set(names) & set(taken))


def known_learners(journal: Journal) -> list[str]:
    """Return those who have practised under a nickname, the newest first. Who sits at a number is not known by it."""
    return [name for name in reversed(learners(journal)) if not NUMBERED.fullmatch(name)]


def some_nicknames(text: str) -> list[str]:
    """Return the same; raises `DiagnoseError` where there is none at all too."""
    if not (found := nicknames(text)):
        raise DiagnoseError("type at least one nickname")
    return found


def next_up(there: list[ClassSeat]) -> ClassSeat | None:
    """Return the first who has not come to an end."""
    return next((seat for seat in there if seat.kept.scored is None), None)


def same_again(journal: Journal) -> tuple[str, ...]:
    """Return who sat in the newest class, in the order of the seats."""
    known = every(journal)
    return tuple(seat.nickname for seat in seats(journal, known[-1])) if known else ()
