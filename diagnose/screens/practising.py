"""The flow of the practice bench: it changes the table, stores what happens, and shows the page that is due."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from typing import Any

from msgspec.structs import replace

from diagnose.errors import DiagnoseError
from diagnose.graph.wording import capital
from diagnose.pages import class_table, parts
from diagnose.pages import debrief as after
from diagnose.pages import practice as pages
from diagnose.pages.parts import Heading
from diagnose.pages.practice_start import LESSON, WHICH_FAULT, WHICH_SYMPTOM, hidden_by, nothing_left
from diagnose.pages.unsaved import goes_on
from diagnose.practice import explain, offers, setting, worked
from diagnose.practice import happenings as hp
from diagnose.practice.debrief import Debrief, debrief
from diagnose.practice.feedback import screws
from diagnose.practice.lesson import Practice
from diagnose.practice.table import PracticeTable, Seat
from diagnose.reason.events import SKIPPED
from diagnose.reason.view import Choice
from diagnose.record.journal import Conflict, JournalError
from diagnose.screens.after_practice import AfterPractice
from diagnose.screens.asked import Asked
from diagnose.screens.listing import Listing
from diagnose.screens.messages import Opened, PageDeed, PageWanted, PracticeLooked, PracticeReplied, TurnedTo
from diagnose.screens.one_line import OneLine
from diagnose.screens.page import PageScreen
from diagnose.screens.practice import PracticeBench
from diagnose.screens.practice_start import Nickname, PracticeStart
from diagnose.screens.widgets.entries import ListEntry
from diagnose.screens.widgets.seat import looks
from diagnose.workshop import classes, learners
from diagnose.workshop.learners import Unfinished

NEW = "new"
OFFERED = 6
"""Practices that were left, of those that are offered: each has a digit."""
AT_ONCE: dict[str, Callable[[], hp.PracticeEvent]] = {
    "run": hp.Ran,
    "laps": lambda: hp.Ran(laps=True),
    "try": hp.Tried,
    "back": hp.SetBack,
}
"""What hands do without being asked more."""

Begin = Callable[[str], hp.Begun]
"""Sets an engine from a seed."""


class Practising(AfterPractice):
    """Seats learners, and lets things happen at their engines."""

    def said(self, what: PageDeed, page: PageScreen[Any]) -> None:
        """Do what follows."""
        known = self.session.knowledge
        match what:
            case Opened(begun, nickname):
                self._offer(nickname, lambda _: begun)
            case TurnedTo(seat):
                self._change(lambda table: table.turned_to(seat), lambda: self.go.stored(page))
            case PageWanted(_, "started"):
                self._change(PracticeTable.started, page.show)
            case PageWanted(_, "stopped"):
                self._change(PracticeTable.stopped, page.show)
            case PageWanted(_, "leave"):
                self._change(PracticeTable.left, page.show)
            case PageWanted(_, "table") if not all(  # whoever is of a class sits down at its own page
                seat.practice is not None and seat.practice.begun.group for seat in self.at.table.seats
            ):
                self.show()
            case PageWanted(_, "table" | "join") if not isinstance(page, PracticeStart):
                self.go.open(PracticeStart(self.at))
            case PageWanted(_, "seated"):
                self._seated()
            case PageWanted(_, "hidden"):
                self._hide()
            case PageWanted(_, "left"):
                self.go.open(Nickname(self.at), lambda name: self._offer(name, None))
            case PageWanted(_, "random"):
                self._begin(lambda seed: setting.drawn(known, seed, 1))
            case PageWanted(_, "two"):
                self._begin(lambda seed: setting.drawn(known, seed, 2))
            case PageWanted(_, "next"):
                self._ask_next()
            case PageWanted(_, lesson) if lesson.startswith(LESSON):
                self._begin(lambda _: setting.from_lesson(known, lesson.removeprefix(LESSON)))
            case _ if self.at.practice is not None:
                self._at_bench(what, page, self.at.practice)

    def _at_bench(self, what: PageDeed, page: PageScreen[Any], practice: Practice) -> None:
        """Do what follows at a practice."""
        match what:
            case PracticeLooked(check):
                self._look(practice, check)
            case PracticeReplied(answer):
                if self.happened(hp.Replied(answer)):
                    self.go.stored(page)
            case PageWanted(_, "look"):
                listing = Listing(self.at, pages.WHICH_LOOK, looks(practice), "checks")
                self.go.open(listing, lambda check: self._look(practice, check))
            case PageWanted(_, "mend"):
                self._mend(practice)
            case PageWanted(_, "turn"):
                self._turn(practice)
            case PageWanted(_, "hint"):
                self._hint(practice)
            case PageWanted(_, "stop"):
                asked = Asked(self.at, pages.GIVE_UP, pages.BEFORE_END, parts.choices(pages.OR_GO_ON))
                self.go.open(asked, lambda choice: self._do(hp.GaveUp()) if choice == pages.YES else None)
            case PageWanted(_, "debrief"):
                self.go.open(self._debrief(practice, debrief(practice)))
            case PageWanted(_, "rule"):
                line = OneLine(self.at, after.RULE, after.RULE_TOLD, lambda rule: practice.plus(hp.Ruled(rule)))
                self.go.open(line, lambda rule: self._say(hp.Ruled(rule), page))
            case PageWanted(_, "case"):
                self._new_case(practice, page)
            case PageWanted(_, hands) if hands in AT_ONCE:
                self._do(AT_ONCE[hands]())

    # who sits at the table

    def _change(self, change: Callable[[PracticeTable], PracticeTable], then: Callable[[], object]) -> None:
        """Change the table, and go on; say why it can't be done."""
        if self.change_table(change):
            then()

    def _hide(self) -> None:
        """Let a mentor choose a symptom, and then a fault that explains it."""
        known = self.session.knowledge

        def with_symptom(symptom: str) -> None:
            faults = [ListEntry(one.id, one.text) for one in hidden_by(known, symptom)]
            listing = Listing(self.at, WHICH_FAULT, faults, "faults")
            self.go.open(listing, lambda fault: self._begin(lambda seed: setting.hidden(known, symptom, fault, seed)))

        symptoms = [ListEntry(key, one.name) for key, one in known.symptoms.items()]
        self.go.open(Listing(self.at, WHICH_SYMPTOM, symptoms, "symptoms"), with_symptom)

    def _begin(self, begin: Begin) -> None:
        """Ask for the nickname, and seat the learner."""
        self.go.open(Nickname(self.at), lambda name: self._offer(name, begin))

    def _offer(self, nickname: str, begin: Begin | None) -> None:
        """Let a learner go on with what was left, or begin a new practice."""
        found = self._unfinished(nickname)
        if found.told:
            self.go.tell(found.told)
        if not found.left:
            if begin is None:
                self.go.tell(nothing_left(nickname))
            else:
                self.seat(nickname, begin)
            return
        offered = found.left[:OFFERED]
        choices = [Choice(str(n), pages.left_at(self.session.knowledge, one)) for n, one in enumerate(offered)]
        choices += [Choice(NEW, pages.BEGIN_NEW)] if begin is not None else []

        def chosen(choice: str) -> None:
            if choice == NEW and begin is not None:
                self.seat(nickname, begin)
                return
            left = offered[int(choice)]
            self._change(
                lambda table: table.joined(Seat(nickname, learners.resumed(self.session.knowledge, left))), self._seated
            )

        told = pages.unfinished(len(found.left) - len(offered))
        self.go.open(Asked(self.at, pages.unfinished_by(nickname), told, choices), chosen)

    def _unfinished(self, nickname: str) -> Unfinished:
        if nickname:
            try:
                return learners.unfinished(self.session.journal, nickname, self.session.knowledge)
            except DiagnoseError as error:
                self.go.tell(str(error), warning=True)
        return Unfinished()

    def seat(self, nickname: str, begin: Begin) -> None:
        """Seat a learner at the engine that `begin` sets from a seed."""
        self._join(nickname, lambda: worked.begin(self.session.knowledge, begin(secrets.token_hex(4))))

    def _join(self, nickname: str, make: Callable[[], Practice]) -> None:
        def joined(table: PracticeTable) -> PracticeTable:
            return table.joined(Seat(nickname, make()))

        def kept() -> None:
            self._keep(0)
            self._seated()

        self._change(joined, kept)

    def _seated(self) -> None:
        """Leave the page on which it was chosen, and show the bench."""
        self.go.clear()
        self.show()

    # what happens at a practice

    def _look(self, practice: Practice, check: str) -> None:
        """Ask what is expected, and look."""
        if practice.ended:
            return
        choices = [*pages.expected(practice, check), *parts.choices([pages.JUST_LOOK])]
        told = (Heading(pages.look_name(practice, check)), *pages.look(practice, check))
        self.go.open(
            Asked(self.at, capital(pages.EXPECT), told, choices),
            lambda answer: self._looked(hp.Looked(check, "" if answer == SKIPPED else answer)),
        )

    def _looked(self, event: hp.Looked) -> None:
        """Look; one of a class then says what it tells."""
        self._do(event)
        practice = self.at.practice
        if practice is not None and practice.begun.group and explain.due(practice):
            told = pages.came_of(practice.lines[-1])
            asked = Asked(self.at, class_table.WHAT_TELLS, told, class_table.explanations(practice))
            self.go.open(asked, lambda about: self._do(hp.MadeOfIt(about)))

    def _hint(self, practice: Practice) -> None:
        """Ask where the learner thinks it is, and then how strong a hint is wanted."""
        areas = [ListEntry(one.id, one.say) for one in pages.guesses(practice)]
        none = ListEntry(pages.NO_IDEA.id, pages.NO_IDEA.text)

        def guessed(area: str) -> None:
            guess = "" if area == pages.NO_IDEA.id else area
            hints = Asked(self.at, pages.WHICH_HINT, pages.BEFORE_HINT, pages.hints())
            self.go.open(hints, lambda strength: self._do(hp.Hinted(int(strength), guess)))

        self.go.open(Listing(self.at, pages.WHERE_FIRST, [*areas, none]), guessed)

    def _mend(self, practice: Practice) -> None:
        """Choose what to mend."""
        entries = [
            entry
            for area, names in offers.mends(practice.scope).items()
            for entry in (ListEntry("", area), *(ListEntry(name, pages.mend_name(practice, name)) for name in names))
        ]
        listing = Listing(self.at, pages.WHICH_MEND, entries, "faults")
        self.go.open(listing, lambda fault: self._do(hp.MendedPart(fault)))

    def _turn(self, practice: Practice) -> None:
        """Choose a screw, and how it is turned."""
        turns, entries = {}, []
        for screw in screws(practice.variant):
            entries.append(ListEntry("", screw))
            for said, turn in offers.turns(screw):
                turns[told := f"{screw}: {said}"] = turn
                entries.append(ListEntry(told, told))
        self.go.open(Listing(self.at, pages.WHICH_TURN, entries), lambda told: self._do(turns[told]))

    def _do(self, event: hp.PracticeEvent) -> None:
        if self.happened(event):
            self.show()

    def happened(self, event: hp.PracticeEvent) -> bool:
        """Let something happen at the practice whose turn it is, and store it; say whether it could be done."""
        seat, practice = self.at.table.seat, self.at.practice
        assert seat is not None
        assert practice is not None
        done = self.change_table(lambda table: table.changed(replace(seat, practice=practice.plus(event))))
        if done:
            self._keep(len(practice.events))
        return done

    def show(self) -> None:
        """Show the seat whose turn it is, and the debrief of a practice that has just ended."""
        if isinstance(self.go.page, PracticeBench):
            self.go.page.show()
        else:
            self.go.open(PracticeBench(self.at))
        seat, practice = self.at.table.seat, self.at.practice
        if seat is not None and practice is not None and practice.ended and not seat.scored:
            self.at.table = self.at.table.changed(replace(seat, scored=True))
            self._reflect(practice, self._scored(seat.nickname, practice))

    def _scored(self, nickname: str, practice: Practice) -> Debrief:
        """Return the debrief of a practice that has ended, its result stored."""
        found, at = debrief(practice), self.session.clock()
        if nickname:
            self._saved(lambda: learners.keep_result(self.session.journal, nickname, practice, found, at))
        return found

    def _keep(self, number: int) -> None:
        """Store the events of the practice whose turn it is, from `number` on."""
        seat, practice, at = self.at.table.seat, self.at.practice, self.session.clock()
        if seat is not None and practice is not None and seat.nickname:
            name, journal = seat.nickname, self.session.journal
            if practice.begun.group and number:
                self._keep_seat(seat, practice, number)
            else:
                self._saved(lambda: learners.keep(journal, name, practice, number, at))

    def _keep_seat(self, seat: Seat, practice: Practice, number: int) -> None:
        """Store what one of a class did; where another window was quicker, show what it did instead."""
        session = self.session
        try:
            classes.keep_seat(session.journal, seat.nickname, practice, number, session.clock())
        except Conflict as told:
            self.go.tell(str(told), warning=True)
            there = classes.opened(session.journal, practice.begun.group)
            found = classes.sit(session.journal, session.knowledge, there, seat.nickname, session.clock())
            self.at.table = self.at.table.changed(replace(seat, practice=found, scored=bool(found.ended)))
        except JournalError as error:
            self.go.tell(goes_on(str(error)), warning=True)

    def _saved(self, do: Callable[[], object]) -> None:
        """Store something; a practice goes on although it can't be saved, and says so."""
        try:
            do()
        except JournalError as error:
            self.go.tell(goes_on(str(error)), warning=True)
