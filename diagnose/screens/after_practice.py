"""What follows a practice: the learner's own view, the debrief, a new case, and what comes next."""

from __future__ import annotations

import secrets
from abc import ABC, abstractmethod
from collections.abc import Callable, Sequence
from typing import Any

from diagnose.errors import DiagnoseError
from diagnose.pages import class_table, parts, way
from diagnose.pages import debrief as after
from diagnose.pages.parts import Gap, Page
from diagnose.pages.practice import came_of
from diagnose.practice import happenings as hp
from diagnose.practice import way as learner_way
from diagnose.practice.debrief import Debrief
from diagnose.practice.effect import effect
from diagnose.practice.lesson import Practice
from diagnose.practice.new_case import new_case
from diagnose.practice.way import next_engine
from diagnose.reason.view import Choice
from diagnose.record.journal import JournalError
from diagnose.screens.asked import Asked
from diagnose.screens.debrief import DebriefPage
from diagnose.screens.flow import Flow
from diagnose.screens.page import PageScreen
from diagnose.screens.practice_start import Nickname
from diagnose.workshop import classes, learners
from diagnose.workshop.progress import all_pairs, next_for


class AfterPractice(Flow, ABC):
    """The part of the flow of practices that comes after the end."""

    @abstractmethod
    def happened(self, event: hp.PracticeEvent) -> bool:
        """Let something happen at the practice whose turn it is, and store it; say whether it could be done."""

    @abstractmethod
    def _join(self, nickname: str, make: Callable[[], Practice]) -> None:
        """Begin a practice, kept under a nickname."""

    def _say(self, event: hp.PracticeEvent, page: PageScreen[Any]) -> None:
        """Keep what was said after the end."""
        if self.happened(event):
            self.go.stored(page)

    def _new_case(self, practice: Practice, page: PageScreen[Any]) -> None:
        """Ask what is wrong in a case that nobody has worked at."""
        case = new_case(practice)
        if case is None:
            self.go.tell(after.NO_CASE)
            return
        right = case.right
        asked = Asked(self.at, after.NEW_CASE, after.new_case(case), after.case_choices(case))
        self.go.open(asked, lambda fault: self._say(hp.NamedInCase(fault, right), page))

    def _reflect(self, practice: Practice, found: Debrief) -> None:
        """Show what came of the last step, and let the learner speak first; then open the debrief."""
        looks, steps = after.best_looks(practice), after.to_skip(practice)

        def ask(heading: str, told: Page, choices: Sequence[Choice], then: Callable[[int], object]) -> None:
            page = Asked(self.at, heading, told, choices)
            self.go.open(page, lambda number: then(int(number)), lambda: self._ended(found))

        def best(number: int, told: Page = ()) -> None:
            ask(after.SKIP, told, steps, lambda skip: reflected(number, skip))

        def reflected(best: int, skip: int) -> None:
            self.happened(hp.Reflected(best, skip))
            self._ended(found)

        came = came_of(practice.lines[-1])
        if len(steps) == 1:  # nothing was done, and there is nothing to say of it
            self._ended(found)
        elif len(looks) == 1:
            best(0, came)
        else:
            ask(after.BEST, came, looks, best)

    def _ended(self, found: Debrief) -> None:
        """Open the debrief; one of a class goes back to the others first."""
        practice = self.at.practice
        if practice is None:
            return
        if practice.begun.group:
            self.go.tell(class_table.LATER if self._anybody_due(practice) else class_table.ALL_HAD_IT, alone=True)
            self.go.page.dismiss(None)
        else:
            self.go.open(self._debrief(practice, found))

    def _anybody_due(self, practice: Practice) -> bool:
        """Return whether anybody of the class of a practice has still to come to an end."""
        try:
            seats = classes.seats(self.session.journal, classes.opened(self.session.journal, practice.begun.group))
        except DiagnoseError:  # what can't be read is said where the class is opened
            return True
        return classes.next_up(seats) is not None

    def _debrief(self, practice: Practice, found: Debrief) -> DebriefPage:
        """Return the debrief of the seat whose turn it is, with what comes next for a learner who is known."""
        seat, known = self.at.table.seat, self.session.knowledge
        if seat is None or not seat.nickname:
            return DebriefPage(self.at, found)
        made = next_for(self.session.journal, known, seat.nickname, practice.begun.seed)
        return DebriefPage(self.at, found, way.next_line(known, made))

    # what comes next for a learner

    def _ask_next(self) -> None:
        """Say what comes next for a learner, and why; then begin it."""
        seat = self.at.table.seat
        if seat is not None and seat.nickname and isinstance(self.go.page, DebriefPage):
            self._next(seat.nickname)
        else:
            self.go.open(Nickname(self.at), self._next)

    def _next(self, nickname: str) -> None:
        known, seed = self.session.knowledge, secrets.token_hex(4)
        try:
            made = next_for(self.session.journal, known, nickname, seed) if nickname else next_engine(known, (), seed)
            done = effect(all_pairs(known, learners.results(self.session.journal, nickname) if nickname else []))
        except JournalError as error:
            self.go.tell(str(error), warning=True)
            return
        if made is None:
            self.go.tell(way.NOTHING)
            return
        begin = made

        def work(_: str) -> None:
            self._join(nickname, lambda: learner_way.begin(known, begin, seed))

        def chosen(_: str) -> None:
            shown = learner_way.example(known, begin, seed) if begin.example else None
            if shown is None:
                work("")
            else:
                worked = after.worked_example(shown)
                self.go.open(Asked(self.at, way.EXAMPLE_HEADING, worked, parts.choices([way.GO_ON])), work)

        told = (*way.next_up(known, made), Gap(), *way.effect(done))
        self.go.open(Asked(self.at, way.HEADING, told, parts.choices([way.BEGIN])), chosen)
