"""The table: up to six learners, each at a simulated engine or at a real car. A value: every change gives a new one.

Simulated engines may run all at once. Of real cars only one engine may be running at a time, so that somebody's eyes
are on it.
"""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from diagnose.errors import DiagnoseError
from diagnose.practice.lesson import Practice

MOST = 6


class Seat(Struct, frozen=True):
    """One learner at a practice, or a real car."""

    nickname: str = ""
    """Empty for somebody whose results are not kept, and at a real car."""
    practice: Practice | None = None
    """None at a real car."""
    scored: bool = False
    """The result of the practice has been stored."""
    engine: str = ""
    """The name of the real car's engine; empty at a practice."""
    running: bool = False
    """The engine of the real car runs."""
    outing: str = ""
    """The walk that the real car is at; empty when there is none."""
    place: str = ""
    """Where that walk stands, or how it ended, for people."""
    by_step: bool = False
    """Its engine runs for the step that the walk is at."""
    waits: bool = False
    """The walk is at a step that runs the engine, and another one runs."""

    @property
    def called(self) -> str:
        """What the seat is called in lists."""
        return self.engine or self.nickname or "you"


class PracticeTable(Struct, frozen=True):
    """Who sits there, and whose turn it is."""

    seats: tuple[Seat, ...] = ()
    at: int = 0

    @property
    def seat(self) -> Seat | None:
        """The seat whose turn it is."""
        return self.seats[self.at] if self.seats else None

    @property
    def beside(self) -> Seat | None:
        """The real car whose engine runs, when it is not the one whose turn it is."""
        return next((one for number, one in enumerate(self.seats) if one.running and number != self.at), None)

    def joined(self, seat: Seat) -> PracticeTable:
        """Return the table with one more, whose turn it is.

        The next practice of one who sits there takes the same seat; a real car that stands there stays as it is.
        """
        for number, one in enumerate(self.seats):
            if (one.nickname, one.engine) == (seat.nickname, seat.engine):
                stays = one if seat.engine else seat
                return PracticeTable((*self.seats[:number], stays, *self.seats[number + 1 :]), number)
        if len(self.seats) >= MOST:
            raise DiagnoseError(f"there are {MOST} at the table already; somebody has to leave first")
        return PracticeTable((*self.seats, seat), len(self.seats))

    def turned_to(self, number: int) -> PracticeTable:
        """Return the table with the turn at seat `number`, from 1; raises `DiagnoseError` when nobody sits there."""
        if not 1 <= number <= len(self.seats):
            raise DiagnoseError(f"nobody sits at {number}")
        return replace(self, at=number - 1)

    def changed(self, seat: Seat) -> PracticeTable:
        """Return the table with the seat whose turn it is changed."""
        return replace(self, seats=(*self.seats[: self.at], seat, *self.seats[self.at + 1 :]))

    def left(self) -> PracticeTable:
        """Return the table without the one whose turn it is; raises `DiagnoseError` while their real engine runs."""
        if self.seat is None:
            return self
        if self.seat.running:
            raise DiagnoseError("the engine is running: stop it first")
        seats = (*self.seats[: self.at], *self.seats[self.at + 1 :])
        return PracticeTable(seats, min(self.at, max(len(seats) - 1, 0)))

    def started(self) -> PracticeTable:
        """Return the table with the real engine of this seat running; raises `DiagnoseError` when another one runs."""
        seat = self.seat
        if seat is None or not seat.engine:
            raise DiagnoseError("there is no real car here")
        if self.beside is not None:
            raise DiagnoseError(f"only one engine runs at a time: that of {self.beside.called} is running")
        return self.changed(replace(seat, running=True, waits=False))

    def stopped(self) -> PracticeTable:
        """Return the table with the real engine of this seat stopped."""
        return self if self.seat is None else self.changed(replace(self.seat, running=False, by_step=False))

    def walked(self, outing: str, place: str, *, runs: bool) -> PracticeTable:
        """Return the table with the walk of this real car at a step; `runs` says whether the step runs the engine.

        The engine then runs until the walk has gone on to a step that does not run it. While another one runs, the walk
        waits. Raises `DiagnoseError` when there is no real car.
        """
        seat = self.seat
        if seat is None or not seat.engine:
            raise DiagnoseError("there is no real car here")
        now = runs and self.beside is None
        running = now or (seat.running and not seat.by_step)
        return self.changed(
            replace(seat, outing=outing, place=place, running=running, by_step=now, waits=runs and not now)
        )
