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
    """One learner: at a practice, or at a real car."""

    nickname: str
    """Empty for somebody whose results are not kept."""
    practice: Practice | None = None
    """None at a real car."""
    running: bool = False
    """The engine of the real car runs."""
    scored: bool = False
    """The result of the practice has been stored."""

    @property
    def called(self) -> str:
        """What the seat is called in lists."""
        return self.nickname or "you"


class Table(Struct, frozen=True):
    """Who sits there, and whose turn it is."""

    seats: tuple[Seat, ...] = ()
    at: int = 0

    @property
    def seat(self) -> Seat | None:
        """The seat whose turn it is."""
        return self.seats[self.at] if self.seats else None

    def joined(self, seat: Seat) -> Table:
        """Return the table with one more, or with the next practice of one who sits there already; it is their turn."""
        for number, one in enumerate(self.seats):
            if one.called == seat.called:
                if one.running:
                    raise DiagnoseError(f"the engine of {one.called} is running: stop it first")
                return Table((*self.seats[:number], seat, *self.seats[number + 1 :]), number)
        if len(self.seats) >= MOST:
            raise DiagnoseError(f"there are {MOST} at the table already; somebody has to leave first")
        return Table((*self.seats, seat), len(self.seats))

    def turned_to(self, number: int) -> Table:
        """Return the table with the turn at seat `number`, from 1; raises `DiagnoseError` when nobody sits there."""
        if not 1 <= number <= len(self.seats):
            raise DiagnoseError(f"nobody sits at {number}")
        return replace(self, at=number - 1)

    def changed(self, seat: Seat) -> Table:
        """Return the table with the seat whose turn it is changed."""
        return replace(self, seats=(*self.seats[: self.at], seat, *self.seats[self.at + 1 :]))

    def left(self) -> Table:
        """Return the table without the one whose turn it is; raises `DiagnoseError` while their real engine runs."""
        if self.seat is None:
            return self
        if self.seat.running:
            raise DiagnoseError("the engine is running: stop it first")
        seats = (*self.seats[: self.at], *self.seats[self.at + 1 :])
        return Table(seats, min(self.at, max(len(seats) - 1, 0)))

    def started(self) -> Table:
        """Return the table with the real engine of this seat running; raises `DiagnoseError` when another one runs."""
        seat = self.seat
        if seat is None or seat.practice is not None:
            raise DiagnoseError("there is no real car here")
        others = [one.called for one in self.seats if one.running and one is not seat]
        if others:
            raise DiagnoseError(f"only one engine runs at a time: that of {others[0]} is running")
        return self.changed(replace(seat, running=True))

    def stopped(self) -> Table:
        """Return the table with the real engine of this seat stopped."""
        return self if self.seat is None else self.changed(replace(self.seat, running=False))
