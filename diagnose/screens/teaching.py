"""The flow of a class: it sets the one engine, seats learners, and shows the one sheet."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from msgspec.structs import replace

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Screw
from diagnose.pages import class_sheet, parts, results, way
from diagnose.pages import class_table as pages
from diagnose.pages.parts import Page
from diagnose.pages.practice import left_at
from diagnose.pages.practice_start import WHICH_FAULT, WHICH_SYMPTOM, hidden_by
from diagnose.practice.class_set import ClassWish, hours_off, to_level, together
from diagnose.practice.debrief import debrief
from diagnose.practice.feedback import EVERY_SCREW
from diagnose.practice.happenings import Begun
from diagnose.practice.table import PracticeTable, Seat
from diagnose.reason.view import Choice
from diagnose.record.journal import JournalError
from diagnose.screens.asked import Asked
from diagnose.screens.class_table import ClassTable
from diagnose.screens.debrief import DebriefPage
from diagnose.screens.flow import Flow
from diagnose.screens.listing import Listing
from diagnose.screens.messages import PageDeed, PageWanted, SatDown, SeatWanted
from diagnose.screens.one_line import OneLine
from diagnose.screens.page import PageScreen
from diagnose.screens.practice import PracticeBench
from diagnose.screens.ticked import Ticked
from diagnose.screens.to_read import ToRead
from diagnose.screens.widgets.entries import ListEntry
from diagnose.workshop import classes
from diagnose.workshop.class_sheet import came_to
from diagnose.workshop.classes import PracticeClass
from diagnose.workshop.learners import forget, learners, unfinished
from diagnose.workshop.learners import results as kept_results
from diagnose.workshop.progress import next_for

T = TypeVar("T")
OFFERED = 4
"""Classes that may be gone on with: with the ways to begin each has a digit."""


class Teaching(Flow):
    """Sets engines for classes, and lets learners have their turns."""

    def said(self, what: PageDeed, page: PageScreen[Any]) -> None:
        """Do what follows."""
        match what:
            case PageWanted(_, "class"):
                self._begin()
            case PageWanted(_, "results"):
                everybody = [ListEntry(results.EVERYBODY.id, results.EVERYBODY.text)]
                self._choose_learner(results.WHOSE, everybody, self._results)
            case PageWanted(_, "delete"):
                self._choose_learner(results.WHOM, [], self._ask_to_delete)
            case _ if isinstance(page, ClassTable):
                self._at_table(what, page)

    def _at_table(self, what: PageDeed, page: ClassTable) -> None:
        match what:
            case SatDown(name):
                self._sit(page.of, name)
            case PageWanted(_, "another"):
                self._ask_who(page.of, page.show)
            case PageWanted(_, "sheet"):
                self._sheet(page.of)
            case SeatWanted("debrief", name):
                self._debrief(page, name)
            case SeatWanted("next", name):
                self._next(name)

    # setting the engine

    def _begin(self) -> None:
        """Draw an engine to a level, choose one, or go on with a class."""
        known, journal = self.session.knowledge, self.session.journal
        none: list[PracticeClass] = []
        newest = self._read(lambda: classes.every(journal), none)[::-1][:OFFERED]
        listed = [(one.id, pages.class_line(known, one, classes.seats(journal, one))) for one in newest]
        choices = parts.choices(pages.ways(listed))
        self.go.open(Asked(self.at, pages.HEADING, pages.WAYS_TOLD, choices), self._begun_by)

    def _begun_by(self, way_in: str) -> None:
        known = self.session.knowledge
        if way_in == pages.CHOSEN:
            self._choose()
        elif way_in.startswith(pages.LEVEL):
            level = int(way_in.removeprefix(pages.LEVEL))
            self._set(lambda: to_level(known, level, secrets.token_hex(4)))
        elif of := self._read(lambda: classes.opened(self.session.journal, way_in.removeprefix(pages.OPEN)), None):
            self._open(of)

    def _open(self, of: PracticeClass) -> None:
        self.go.clear()
        self.go.open(ClassTable(self.at, of))

    def _choose(self) -> None:
        """Ask the mentor for the symptom, one or two faults, how badly, the needles and the owner's words."""
        known = self.session.knowledge
        symptoms = [ListEntry(key, one.name) for key, one in known.symptoms.items()]

        def with_symptom(symptom: str) -> None:
            faults = [ListEntry(one.id, one.text) for one in hidden_by(known, symptom)]
            listing = Listing(self.at, WHICH_FAULT, faults, "faults")
            self.go.open(listing, lambda fault: self._second(symptom, fault, faults))

        self.go.open(Listing(self.at, WHICH_SYMPTOM, symptoms, "symptoms"), with_symptom)

    def _second(self, symptom: str, first: str, faults: Sequence[ListEntry]) -> None:
        """Ask for a second fault, and how badly they are there."""
        none = ListEntry(pages.NO_SECOND.id, pages.NO_SECOND.text)
        listing = Listing(self.at, pages.SECOND, [none, *(one for one in faults if one.id != first)], "faults")

        def with_faults(second: str) -> None:
            asked = Asked(self.at, pages.WHICH_BAD, (), parts.choices(pages.BAD))
            self.go.open(
                asked,
                lambda bad: self._off(pages.wish(symptom, (first, second), bad, secrets.token_hex(4))),
            )

        self.go.open(listing, with_faults)

    def _off(self, wish: ClassWish) -> None:
        """Ask which screws are off, one after another, which way and by how much; then go on to the owner's words."""

        def with_screw(chosen: str) -> None:
            if chosen in EVERY_SCREW:
                asked = Asked(self.at, pages.off_which_way(chosen), (), parts.choices(pages.off_ways(chosen)))
                self.go.open(asked, lambda sign: self._how_far(wish, chosen, float(sign)))
            else:
                self._story(wish)

        choices = parts.choices(pages.off_choices(wish.turned))
        self.go.open(Asked(self.at, pages.off_heading(wish.turned), pages.off_told(wish.turned), choices), with_screw)

    def _how_far(self, wish: ClassWish, screw: Screw, sign: float) -> None:
        def with_hours(text: str) -> None:
            self._off(replace(wish, turned={**wish.turned, screw: sign * hours_off(text)}))

        self.go.open(OneLine(self.at, pages.off_how_far(screw, sign), pages.OFF_TOLD, hours_off), with_hours)

    def _story(self, wish: ClassWish) -> None:
        """Ask what the owner says besides; then set it."""

        def made(story: str) -> Begun:
            return together(self.session.knowledge, replace(wish, owner=story))

        line = OneLine(self.at, pages.STORY, pages.STORY_TOLD, made)
        self.go.open(line, lambda story: self._set(lambda: made(story)))

    def _set(self, make: Callable[[], Begun]) -> None:
        """Store the engine; then ask who sits there."""
        nobody: tuple[str, ...] = ()
        same = self._read(lambda: classes.same_again(self.session.journal), nobody)
        known = self._read(lambda: classes.known_learners(self.session.journal), list(nobody))
        try:
            of = classes.begin(self.session.journal, make(), self.session.clock())
        except JournalError as error:
            self.go_on_unsaved(str(error), lambda: self._set(make))
            return
        except DiagnoseError as error:
            self.go.tell(str(error), warning=True)
            return
        if not same and not known:
            self._ask_who(of, lambda: self._open(of))
            return

        def chosen(how: str) -> None:
            if how == pages.SAME:
                self._seat(of, same, lambda: self._open(of))
            elif how == pages.KNOWN:
                ticked = Ticked(self.at, pages.TICK, pages.TICK_TOLD, [Choice(one, one) for one in known], pages.TICKED)
                self.go.open(ticked, lambda names: self._seat(of, names, lambda: self._open(of)))
            else:
                self._ask_who(of, lambda: self._open(of))

        self.go.open(Asked(self.at, pages.WHO.text, (), parts.choices(pages.who_again(same, known))), chosen)

    def _ask_who(self, of: PracticeClass, then: Callable[[], object]) -> None:
        """Ask for nicknames, and seat them."""
        line = OneLine(self.at, pages.WHO, pages.WHO_TOLD, classes.some_nicknames)
        self.go.open(line, lambda text: self._seat(of, classes.nicknames(text, learners(self.session.journal)), then))

    def _seat(self, of: PracticeClass, names: Sequence[str], then: Callable[[], object]) -> None:
        session = self.session

        def seat() -> None:
            for name in names:
                classes.sit(session.journal, session.knowledge, of, name, session.clock())

        self.attempt(seat, then)

    # at the table

    def _sit(self, of: PracticeClass, name: str) -> None:
        """Let one have the turn, from where this nickname has come to."""
        session = self.session
        practice = self._read(lambda: classes.sit(session.journal, session.knowledge, of, name, session.clock()), None)
        if practice is None:
            return
        if practice.ended:
            self.go.tell(pages.had_a_turn(name))
        elif self._turn(Seat(name, practice)):
            self.go.open(PracticeBench(self.at))

    def _turn(self, seat: Seat) -> bool:
        """Let one of a class have the turn, in place of whoever of a class had it; say whether there is room."""

        def turned(table: PracticeTable) -> PracticeTable:
            others = tuple(one for one in table.seats if one.practice is None or not one.practice.begun.group)
            return PracticeTable(others).joined(seat)

        return self.change_table(turned)

    def _sheet(self, of: PracticeClass) -> None:
        known = self.session.knowledge
        if found := self._read(lambda: came_to(self.session.journal, known, of), None):
            page = class_sheet.class_sheet(known, found, pages.reopen)
            self.go.open(ToRead(self.at, class_sheet.title(known, found.sheet), lambda: page))

    def _debrief(self, page: ClassTable, name: str) -> None:
        """Open the debrief of one who has come to an end."""
        known = self.session.knowledge
        seat = next(one for one in page.seats if one.nickname == name)
        if seat.kept.scored is None:
            self.go.tell(pages.no_debrief_yet(name))
        elif practice := self._read(lambda: classes.practice(known, seat), None):
            made = next_for(self.session.journal, known, name, practice.begun.seed)
            if self._turn(Seat(name, practice, scored=True)):
                self.go.open(DebriefPage(self.at, debrief(practice), way.next_line(known, made)))

    def _next(self, name: str) -> None:
        """Say what one practises next, and why."""
        made = self._read(lambda: next_for(self.session.journal, self.session.knowledge, name, name), None)
        page = way.next_up(self.session.knowledge, made)
        self.go.open(ToRead(self.at, f"{name}: {way.HEADING}", lambda: page))

    # what is kept of learners

    def _choose_learner(self, heading: str, first: Sequence[ListEntry], then: Callable[[str], object]) -> None:
        """Let a mentor choose one of those of whom something is kept."""
        none: list[str] = []
        if names := self._read(lambda: learners(self.session.journal), none):
            self.go.open(Listing(self.at, heading, [*first, *(ListEntry(name, name) for name in names)]), then)
        else:
            self.go.tell(results.NO_RESULT)

    def _results(self, name: str) -> None:
        """Show what the practices of one came to, or of all, and what is unfinished."""
        journal, known = self.session.journal, self.session.knowledge
        only = "" if name == results.EVERYBODY.id else name

        def told() -> Page:
            names = [only] if only else learners(journal)
            left = [(one, left_at(known, it)) for one in names for it in unfinished(journal, one, known).left]
            return results.lines(known, kept_results(journal, only), left)

        nothing: Page = ()
        page = self._read(told, nothing)
        self.go.open(ToRead(self.at, results.HEADING, lambda: page))

    def _ask_to_delete(self, name: str) -> None:
        asked = Asked(self.at, results.ask_to_forget(name), (results.FOR_GOOD,), parts.choices(results.OR_KEEP))
        self.go.open(asked, lambda choice: self._delete(name) if choice == results.DELETE else None)

    def _delete(self, name: str) -> None:
        """Delete all of a learner, who leaves the table too: or else the next step would be kept again."""
        session = self.session
        if count := self._read(lambda: forget(session.journal, name, session.clock()), 0):
            self.change_table(lambda table: PracticeTable(tuple(one for one in table.seats if one.nickname != name)))
            self.go.tell(results.forgotten(count))

    def _read(self, read: Callable[[], T], otherwise: T) -> T:
        """Return what was read; something else, and say why, when it can't be."""
        try:
            return read()
        except DiagnoseError as error:
            self.go.tell(str(error), warning=True)
            return otherwise
