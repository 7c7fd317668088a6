"""What the app does at the practice bench: it holds the table, stores what happens, and shows the page that is due.

The simulated engine is imported when somebody first practises: no first screen waits for it.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable
from typing import TYPE_CHECKING

from msgspec.structs import replace

from diagnose.errors import DiagnoseError
from diagnose.record.journal import JournalError
from diagnose.screens.reading import Reading
from diagnose.workshop.session import Session

NEW = "new"
OFFERED = 6
"""Practices that were left, of those that are offered: each has a digit."""

if TYPE_CHECKING:
    from diagnose.practice.debrief import Debrief
    from diagnose.practice.happenings import Begun, PracticeEvent
    from diagnose.practice.lesson import Practice
    from diagnose.practice.table import PracticeTable
    from diagnose.workshop.learners import LeftPractice, Unfinished


class Practising(Reading):
    """An app with a table of learners."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._table: PracticeTable | None = None

    @property
    def table(self) -> PracticeTable:
        """Who practises, and whose turn it is."""
        if self._table is None:
            from diagnose.practice.table import PracticeTable

            self._table = PracticeTable()
        return self._table

    @property
    def at_bench(self) -> Practice | None:
        """The practice whose turn it is; None at a real car, and when nobody sits there."""
        seat = self.table.seat
        return seat.practice if seat is not None else None

    def action_practice(self) -> None:
        """Go to the table, or choose what to practise when nobody sits there."""
        if self.table.seats:
            self.show_practice()
        else:
            self.action_join()

    def action_join(self) -> None:
        """Choose what another learner practises."""
        from diagnose.screens.practice_start import PracticeStart

        if not isinstance(self.screen, PracticeStart):
            self.push_screen(PracticeStart())

    def show_practice(self) -> None:
        """Show the seat whose turn it is, and the debrief of a practice that has just ended."""
        from diagnose.screens.debrief import DebriefPage
        from diagnose.screens.practice import PracticeBench

        if isinstance(self.screen, PracticeBench):
            self.screen.show()
        else:
            self.push_screen(PracticeBench())
        seat = self.table.seat
        if seat is not None and seat.practice is not None and seat.practice.ended and not seat.scored:
            self._table = self.table.changed(replace(seat, scored=True))
            self.push_screen(DebriefPage(self._scored(seat.nickname, seat.practice)))

    def action_debrief(self) -> None:
        """Show the debrief of the practice whose turn it is."""
        from diagnose.practice.debrief import debrief
        from diagnose.screens.debrief import DebriefPage

        if self.at_bench is not None:
            self.push_screen(DebriefPage(debrief(self.at_bench)))

    def offer(self, nickname: str, new: Callable[[], bool] | None) -> None:
        """Let a learner go on with what was left, or do `new`, which says whether it could be done; show the bench."""
        from diagnose.pages.practice import BEGIN_NEW, unfinished
        from diagnose.reason.view import Choice
        from diagnose.screens.asked import Asked
        from diagnose.workshop import learners

        found = self._unfinished(nickname)
        if found.told:
            self.notify(found.told, markup=False)
        if not found.left:
            if new is None:
                self.notify(f"{nickname or 'Somebody without a nickname'} has left nothing unfinished.", markup=False)
            elif new():
                self._seated()
            return
        offered = found.left[:OFFERED]
        choices = [Choice(str(n), learners.says(self.session.knowledge, one)) for n, one in enumerate(offered)]

        def chosen(choice: str | None) -> None:
            if choice is None:
                return
            done = self._go_on(nickname, offered[int(choice)]) if choice != NEW or new is None else new()
            if done:
                self._seated()

        told = unfinished(len(found.left) - len(offered))
        choices += [Choice(NEW, BEGIN_NEW)] if new is not None else []
        self.push_screen(Asked(f"{nickname}: not finished", told, choices), chosen)

    def _unfinished(self, nickname: str) -> Unfinished:
        from diagnose.workshop import learners

        if nickname:
            try:
                return learners.unfinished(self.session.journal, nickname, self.session.knowledge)
            except DiagnoseError as error:
                self.notify(str(error), severity="warning", markup=False)
        return learners.Unfinished()

    def _go_on(self, nickname: str, left: LeftPractice) -> bool:
        """Seat a learner at a practice that was left; say whether it could be done."""
        from diagnose.practice.table import Seat
        from diagnose.workshop import learners

        def seat() -> None:
            self._table = self.table.joined(Seat(nickname, learners.resumed(self.session.knowledge, left)))

        return self._done(seat)

    def _seated(self) -> None:
        """Leave the page on which it was chosen, and show the bench."""
        from diagnose.screens.practice_start import PracticeStart

        if isinstance(self.screen, PracticeStart):
            self.pop_screen()
        self.show_practice()

    def practise(self, begin: Callable[[str], Begun], nickname: str) -> bool:
        """Seat a learner at the engine that `begin` sets from a seed; say whether it could be done."""
        from diagnose.practice.lesson import Practice
        from diagnose.practice.table import Seat

        def seat() -> None:
            practice = Practice(self.session.knowledge, [begin(secrets.token_hex(4))])
            self._table = self.table.joined(Seat(nickname, practice))
            self._keep(0)

        return self._done(seat)

    def change_table(self, change: Callable[[PracticeTable], PracticeTable]) -> bool:
        """Change the table; say why it can't be done."""

        def changed() -> None:
            self._table = change(self.table)

        return self._done(changed)

    def happened(self, event: PracticeEvent) -> bool:
        """Let something happen at the practice whose turn it is, and store it."""

        def happen() -> None:
            seat = self.table.seat
            assert seat is not None
            assert seat.practice is not None
            self._table = self.table.changed(replace(seat, practice=seat.practice.plus(event)))
            self._keep(len(seat.practice.events))

        return self._done(happen)

    def _scored(self, nickname: str, practice: Practice) -> Debrief:
        """Return the debrief of a practice that has ended, its result stored."""
        from diagnose.practice.debrief import debrief
        from diagnose.workshop import learners

        found, at = debrief(practice), self.session.clock()
        if nickname:
            self._saved(lambda: learners.keep_result(self.session.journal, nickname, practice, found, at))
        return found

    def _keep(self, number: int) -> None:
        """Store the events of the practice whose turn it is, from `number` on."""
        from diagnose.workshop import learners

        seat, at = self.table.seat, self.session.clock()
        if seat is not None and seat.practice is not None and seat.nickname:
            name, practice = seat.nickname, seat.practice
            self._saved(lambda: learners.keep(self.session.journal, name, practice, number, at))

    def _saved(self, do: Callable[[], object]) -> None:
        """Store something; a practice goes on although it can't be saved, and says so."""
        try:
            do()
        except JournalError as error:
            self.notify(f"{error}. The practice goes on, and is not saved.", severity="warning", markup=False)

    def _done(self, do: Callable[[], object]) -> bool:
        try:
            do()
        except DiagnoseError as error:
            self.notify(str(error), severity="warning", markup=False)
            return False
        return True
