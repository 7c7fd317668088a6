"""What all screens are handed: the session, the engine in hand, and the table of who practises."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from diagnose.record.engines import Engine
from diagnose.record.manner import lines
from diagnose.workshop.mate import Invited, Inviting, MateSaid
from diagnose.workshop.newcomer import led
from diagnose.workshop.session import Session

if TYPE_CHECKING:
    from diagnose.practice.lesson import Practice
    from diagnose.practice.table import PracticeTable


class Draft(NamedTuple):
    """What stands in the fields of a form, and which answers are taken."""

    typed: dict[str, str]
    chosen: dict[str, int]


class AtHand:
    """One value for the whole app. Pages read it; what they say changes it, in a flow."""

    def __init__(self, session: Session, engine: Engine | None = None) -> None:
        self.session = session
        self.engine = engine
        self.drafts: dict[str, Draft] = {}
        """What was filled in on a form that was left, by the form and its engine: it is offered again."""
        self.first_day = led(session)
        """One thing at a time, for who is new to it."""
        self.lines = lines(session.journal)
        """Each step in a line, for who knows it."""
        self.note = ""
        """What the next page of first-day mode says before its own words."""
        self.invite: Inviting | None = None
        """Lets a mate's phone in; None where this program opens no pages for phones."""
        self.mate: Invited | None = None
        """Where the mate of the walk at hand comes in."""
        self.mate_said: MateSaid | None = None
        """What he has just said."""

    @cached_property
    def table(self) -> PracticeTable:
        """Who practises, and whose turn it is. The simulated engine is imported when somebody first practises."""
        from diagnose.practice.table import PracticeTable

        return PracticeTable()

    @property
    def practice(self) -> Practice | None:
        """The practice whose turn it is; None at a real car, and when nobody sits there."""
        seat = self.table.seat
        return seat.practice if seat is not None else None
