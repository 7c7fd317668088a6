"""The bench of a practice: what you can look at, by area; what was seen; and a key for each thing that hands can do."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import OptionList, Static

from diagnose.pages import practice as pages
from diagnose.practice import offers
from diagnose.practice.happenings import GaveUp, Hinted, Looked, MendedPart, PracticeEvent, Ran, SetBack, Tried
from diagnose.practice.lesson import Practice
from diagnose.practice.table import PracticeTable
from diagnose.practice.tells import screws
from diagnose.reason.events import SKIPPED
from diagnose.reason.view import Choice
from diagnose.screens.asked import Asked
from diagnose.screens.listing import ListEntry, Listing, options
from diagnose.screens.page import Page
from diagnose.screens.widgets.seat import looks, seats
from diagnose.screens.widgets.text import plain

YES, NO = "yes", "no"
AT_PRACTICE = frozenset({"look", "mend", "turn", "run", "try", "back", "hint", "stop"})
"""What can be done at a practice that goes on."""
AT_CAR = frozenset({"walk", "started", "stopped"})


class PracticeBench(Page[None]):
    """Shows the seat whose turn it is; a digit turns to another."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "home"),
        Binding("enter", "walk", "open its walk"),
        Binding("slash", "look", "search"),
        Binding("m", "mend", "mend"),
        Binding("t", "turn", "turn a screw"),
        Binding("r", "run", "run it"),
        Binding("r", "started", "its engine starts"),
        Binding("r", "stopped", "its engine has stopped"),
        Binding("y", "try", "try again"),
        Binding("b", "back", "back to the record"),
        Binding("h", "hint", "hint"),
        Binding("g", "stop", "give up"),
        Binding("d", "debrief", "debrief"),
        Binding("a", "app.join", "another learner"),
        Binding("k", "leave_table", "leave the table"),
    ]

    if_room = frozenset({"question_mark", "q"})
    in_short = {"t": "turn", "y": "try", "b": "record", "a": "another", "k": "leave"}

    def body(self) -> ComposeResult:
        """Lay out who sits there, what was told, and what can be looked at."""
        yield Static(id="seats")
        with VerticalScroll(id="text"):
            yield Static(id="told")
        yield OptionList(id="looks", markup=False)

    @property
    def practice(self) -> Practice | None:
        """The practice whose turn it is."""
        return self.main.at_bench

    def on_mount(self) -> None:
        """Let the list have the keys."""
        self.show()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self._paint()

    def on_screen_resume(self) -> None:
        """Show where the walk of a real car has come to."""
        self._paint()

    def show(self) -> None:
        """Show what has changed."""
        self.turned()
        self._paint()
        self.query_one("#text").scroll_home(animate=False)
        listed = self.query_one(OptionList)
        if self.practice is not None:
            listed.focus()  # it lost the keys while it was not there, at a real car
        if listed.highlighted is None:
            listed.action_first()

    def _paint(self) -> None:
        seat = self.main.table.seat
        if seat is None:
            return
        practice = seat.practice
        self.query_one("#heading", Static).update(plain(pages.heading(seat)))
        self.query_one("#seats", Static).update(seats(self.main.table.seats, self.main.table.at, self.size.width - 4))
        listed = self.query_one(OptionList)
        listed.display = practice is not None
        if practice is None:
            self.tell(pages.real_car(self.main.table))
        else:
            self.tell(pages.bench(practice))
            marked = listed.highlighted
            listed.set_options(options(looks(practice)))
            listed.highlighted = marked
        self.refresh_bindings()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:  # noqa: ARG002 - Textual's
        """Offer a key only where it does something."""
        seat = self.main.table.seat
        if seat is None:
            return action not in AT_PRACTICE | AT_CAR
        if action in AT_CAR:
            return bool(seat.engine) and (action == "walk" or seat.running == (action == "stopped"))
        if action == "back" and seat.practice is not None and not seat.practice.begun.recorded:
            return False
        going = seat.practice is not None and not seat.practice.ended
        if action == "debrief":
            return seat.practice is not None and not going
        return going if action in AT_PRACTICE else True

    def action_digit(self, digit: str) -> None:
        """Turn to another seat."""
        if self.main.change_table(lambda table: table.turned_to(int(digit))):
            self.query_one(OptionList).highlighted = None
            self.main.show_practice()

    def action_debrief(self) -> None:
        """Show the debrief again."""
        self.main.action_debrief()

    def action_walk(self) -> None:
        """Open the walk of the real car."""
        self.main.open_walk()

    def action_leave_table(self) -> None:
        """Let this learner go."""
        if self.main.change_table(lambda table: table.left()):
            if self.main.table.seats:
                self.show()
            else:
                self.dismiss(None)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Ask what is expected, and look."""
        self._look(event.option.id)

    def action_look(self) -> None:
        """Search for something to look at."""
        if self.practice is not None:
            self.app.push_screen(Listing("What do you look at?", looks(self.practice)), self._look)

    def _look(self, name: str | None) -> None:
        practice = self.practice
        if name is None or practice is None or practice.ended:
            return

        def looked(answer: str | None) -> None:
            if answer is not None:
                self._done(Looked(name, "" if answer == SKIPPED else answer))

        choices = [*pages.expected(practice, name), Choice(SKIPPED, "I don't know: just look")]
        heading = f"{pages.look_name(practice, name)}: {pages.EXPECT}"
        self.app.push_screen(Asked(heading, pages.look(practice, name), choices), looked)

    def action_mend(self) -> None:
        """Choose what to mend."""
        practice = self.practice
        if practice is None:
            return
        entries = [
            entry
            for area, names in offers.mends(practice.scope).items()
            for entry in (
                ListEntry("", area),
                *(ListEntry(name, pages.mend_name(practice, name)) for name in names),
            )
        ]

        def chosen(fault: str | None) -> None:
            if fault is not None:
                self._done(MendedPart(fault))

        self.app.push_screen(Listing("What do you mend?", entries), chosen)

    def action_turn(self) -> None:
        """Choose a screw, and how it is turned."""
        practice = self.practice
        if practice is None:
            return
        turns, entries = {}, []
        for screw in screws(practice.variant):
            entries.append(ListEntry("", screw))
            for said, turn in offers.turns(screw):
                turns[told := f"{screw}: {said}"] = turn
                entries.append(ListEntry(told, told))

        def chosen(told: str | None) -> None:
            if told is not None:
                self._done(turns[told])

        self.app.push_screen(Listing("Which screw, which way?", entries), chosen)

    def action_run(self) -> None:
        """Run it warm."""
        self._done(Ran())

    def action_started(self) -> None:
        """Say that the engine of the real car starts."""
        self._now(PracticeTable.started)

    def action_stopped(self) -> None:
        """Say that the engine of the real car has stopped."""
        self._now(PracticeTable.stopped)

    def _now(self, change: Callable[[PracticeTable], PracticeTable]) -> None:
        if self.main.change_table(change):
            self.show()

    def action_try(self) -> None:
        """Try it again."""
        self._done(Tried())

    def action_back(self) -> None:
        """Go back to the record."""
        self._done(SetBack())

    def action_hint(self) -> None:
        """Ask for a hint."""

        def chosen(strength: str | None) -> None:
            if strength is not None:
                self._done(Hinted(int(strength)))

        self.app.push_screen(Asked("How strong a hint?", pages.BEFORE_HINT, pages.hints()), chosen)

    def action_stop(self) -> None:
        """Give up, once that is confirmed."""

        def decided(choice: str | None) -> None:
            if choice == YES:
                self._done(GaveUp())

        choices = [Choice(YES, "stop here"), Choice(NO, "go on")]
        self.app.push_screen(Asked("Give up?", pages.BEFORE_END, choices), decided)

    def _done(self, event: PracticeEvent) -> None:
        if self.practice is not None and self.main.happened(event):
            self.main.show_practice()
