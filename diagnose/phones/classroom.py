"""The class on phones: who sits where, whether all wait, and when it has ended.

What each does is a practice in the journal, as on the screens. Beside it a stream ``seated/<class>`` holds the rest:
visitors by the number of the seat, and no nickname.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

import msgspec
from msgspec import Struct

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge
from diagnose.pages import phone_class as pages
from diagnose.pages import way
from diagnose.pages.dates import clock as clock_of
from diagnose.practice import explain
from diagnose.practice.debrief import Debrief, debrief
from diagnose.practice.happenings import Begun, GaveUp, MadeOfIt, PracticeEvent
from diagnose.practice.hints import hint
from diagnose.practice.lesson import Practice
from diagnose.practice.new_case import NewCase, new_case
from diagnose.record.journal import Conflict, Journal
from diagnose.workshop import classes, learners
from diagnose.workshop.classes import PracticeClass
from diagnose.workshop.once import TOO_LATE, TooLate
from diagnose.workshop.progress import next_for
from diagnose.workshop.workshop import Clock

SEATED = "seated/"
STRONGEST = 2
"""Of the hints that a mentor gives: the area, then the check."""


class ClassHappening(Struct, frozen=True, tag_field="kind", tag=str.lower):
    """The base of what happens to a class as a whole."""


class SeatTaken(ClassHappening, frozen=True):
    """A visitor sat down."""

    visitor: str
    seat: int


class AllWait(ClassHappening, frozen=True):
    """The mentor stopped everybody."""


class AllGoOn(ClassHappening, frozen=True):
    """The mentor let everybody go on."""


class HintGiven(ClassHappening, frozen=True):
    """The mentor gave a hint to one."""

    seat: int
    told: str


class HintRead(ClassHappening, frozen=True):
    """It was read."""

    seat: int


class ClassEnded(ClassHappening, frozen=True):
    """The mentor ended the class: what was hidden may be seen."""


ClassroomEvent = SeatTaken | AllWait | AllGoOn | HintGiven | HintRead | ClassEnded
_decoder: msgspec.json.Decoder[ClassroomEvent] = msgspec.json.Decoder(ClassroomEvent)


@dataclass
class PhoneSeat:
    """One who sits there."""

    number: int
    nickname: str
    practice: Practice
    moved: float
    """When something was done last, by a clock that stands while this computer sleeps."""
    hint: str = ""
    """Of the mentor, not read yet."""
    given: int = 0
    found: Debrief | None = None
    case: tuple[NewCase | None] | None = None
    """The new case that comes after it, once it was worked out; it is the same whatever is said meanwhile."""

    @property
    def count(self) -> int:
        """How many events its practice has: each form says of how many it was made."""
        return len(self.practice.events)


class Classroom:
    """The one class that goes on, or the last one that did. One thread uses it."""

    def __init__(
        self, knowledge: Knowledge, journal: Journal, clock: Clock = time.time, steady: Clock = time.monotonic
    ) -> None:
        self.knowledge, self.journal, self.clock, self.steady = knowledge, journal, clock, steady
        self._woke = clock() - steady()
        self.read()

    def read(self) -> None:
        """Read everything again. Raises `JournalError`."""
        self.of: PracticeClass | None = None
        self.seats: dict[int, PhoneSeat] = {}
        self._visitors: dict[str, int] = {}
        self.waiting = self.ended = False
        self._length = 0
        known = classes.every(self.journal)
        if not known or known[-1].begun.knowledge != self.knowledge.digest:
            return
        self.of = known[-1]
        for one in classes.seats(self.journal, self.of):
            practice = classes.practice(self.knowledge, one)
            self.seats[one.number] = PhoneSeat(one.number, one.nickname, practice, self.steady())
            if practice.ended and one.kept.scored is None:  # it was stopped between the two
                self._score(self.seats[one.number])
        for body in self.journal.read(SEATED + self.of.id):
            self._took_place(_decoder.decode(body))

    @property
    def open(self) -> bool:
        """Say whether a class goes on."""
        return self.of is not None and not self.ended

    @property
    def jumped(self) -> float:
        """Minutes by which the clock on the wall has moved on while the other one stood."""
        return (self.clock() - self.steady() - self._woke) / 60

    def refuse_second(self) -> None:
        """Raise `DiagnoseError` while a class goes on: another one is not begun beside it."""
        if self.of is not None and self.open:
            raise DiagnoseError(pages.still_on(clock_of(self.of.at), len(self.seats)))

    def begin(self, begun: Begun) -> None:
        """Begin a class at an engine. Raises `DiagnoseError`."""
        self.refuse_second()
        classes.begin(self.journal, begun, self.clock())
        self.read()

    def seat(self, visitor: str) -> PhoneSeat | None:
        """Return where a visitor sits."""
        return self.seats.get(self._visitors.get(visitor, 0))

    def sit(self, visitor: str, typed: str) -> PhoneSeat:
        """Seat a visitor; who sits there already stays. Raises `DiagnoseError`."""
        if (mine := self.seat(visitor)) is not None:
            return mine
        if self.of is None or not self.open:
            raise DiagnoseError(pages.NO_CLASS)
        name = self._free(learners.nickname(typed))
        practice = classes.sit(self.journal, self.knowledge, self.of, name, self.clock())
        made = PhoneSeat(practice.begun.seat, name, practice, self.steady())
        self.seats[made.number] = made
        self._happened(SeatTaken(visitor, made.number))
        return made

    def _free(self, name: str) -> str:
        """Return a nickname that nobody here has: the second "kim" is "kim 2"."""
        taken = {seat.nickname.casefold() for seat in self.seats.values()}
        found, number = name, 1
        while found.casefold() in taken:
            number += 1
            found = f"{name[: learners.LONGEST - len(f' {number}')].rstrip()} {number}"
        return found

    def record(self, seat: PhoneSeat, made_of: int, make: Callable[[Practice], PracticeEvent]) -> bool:
        """Store the event that `make` gives on a seat's practice of `made_of` events; say whether it is new.

        False when the same is stored there already. Raises `TooLate` when something else is, or all wait;
        `DiagnoseError` for what makes no sense.
        """
        events = seat.practice.events
        if not 0 < made_of <= len(events):
            raise DiagnoseError(pages.NO_QUESTION)
        if made_of < len(events):
            try:
                again = make(Practice(self.knowledge, events[:made_of]))
            except DiagnoseError as error:
                raise TooLate(TOO_LATE) from error
            if again != events[made_of]:
                raise TooLate(TOO_LATE)
            return False
        if self.waiting:
            raise TooLate(pages.STOPPED)
        event = make(seat.practice)
        if explain.due(seat.practice) and not isinstance(event, MadeOfIt):
            raise TooLate(pages.EXPLAIN_FIRST)
        self._add(seat, event)
        return True

    def _add(self, seat: PhoneSeat, event: PracticeEvent) -> None:
        before = seat.practice
        after = before.plus(event)
        after.lines  # noqa: B018 - folded before it is stored: what can't be folded must not be
        try:
            classes.keep_seat(self.journal, seat.nickname, after, len(before.events), self.clock())
        except Conflict as error:  # another program has gone on with it
            self.read()
            raise TooLate(TOO_LATE) from error
        seat.practice, seat.moved = after, self.steady()
        if after.ended and not before.ended:
            self._score(seat)

    def _score(self, seat: PhoneSeat) -> None:
        found = debrief(seat.practice)
        learners.keep_result(self.journal, seat.nickname, seat.practice, found, self.clock())

    def debrief(self, seat: PhoneSeat) -> Debrief:
        """Return the debrief of a seat."""
        if seat.found is None:
            seat.found = debrief(seat.practice)
        return seat.found

    def new_case(self, seat: PhoneSeat) -> NewCase | None:
        """Return a case that nobody has worked at. The first time it takes a while: not for the loop."""
        if seat.case is None:
            seat.case = (new_case(seat.practice),)
        return seat.case[0]

    def next_line(self, seat: PhoneSeat) -> str:
        """Return in a line what this nickname practises next, and why. Raises `JournalError`."""
        made = next_for(self.journal, self.knowledge, seat.nickname, seat.practice.begun.seed)
        return way.next_line(self.knowledge, made)

    # what the mentor does

    def wait(self) -> None:
        """Stop everybody."""
        if self.open and not self.waiting:
            self._happened(AllWait())

    def go_on(self) -> None:
        """Let everybody go on."""
        if self.waiting:
            self._happened(AllGoOn())

    def hint(self, number: int) -> None:
        """Give a hint to one, the second stronger than the first. Raises `DiagnoseError`."""
        seat = self.seats.get(number)
        if not self.open or seat is None or seat.practice.ended:
            raise DiagnoseError(pages.NO_HINT)
        if seat.hint:
            raise DiagnoseError(pages.ONE_AT_A_TIME)
        told = hint(seat.practice.hands, min(seat.given + 1, STRONGEST))
        self._happened(HintGiven(number, " ".join(told)))

    def read_hint(self, seat: PhoneSeat) -> None:
        """Put away the mentor's hint."""
        if seat.hint:
            self._happened(HintRead(seat.number))

    def end(self) -> None:
        """End the class: who has not come to an end stops there."""
        if not self.open:
            return
        for seat in self.seats.values():
            if not seat.practice.ended:
                self._add(seat, GaveUp())
        self._happened(ClassEnded())

    def _happened(self, what: ClassroomEvent) -> None:
        assert self.of is not None
        body = msgspec.json.encode(what).decode()
        try:
            self.journal.append(SEATED + self.of.id, self._length, [body], self.clock())
        except Conflict:
            self.read()
            raise
        self._took_place(what)

    def _took_place(self, what: ClassroomEvent) -> None:
        self._length += 1
        match what:
            case SeatTaken(visitor, number):
                self._visitors[visitor] = number
            case AllWait():
                self.waiting = True
            case AllGoOn():
                self.waiting = False
            case HintGiven(number, told) if number in self.seats:
                self.seats[number].hint = told
                self.seats[number].given += 1
            case HintRead(number) if number in self.seats:
                self.seats[number].hint = ""
            case ClassEnded():
                self.ended, self.waiting = True, False
            case _:
                pass
