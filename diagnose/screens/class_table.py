"""A class at one engine: what its owner says, who sits there, and whose turn it is."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import OptionList, Static

from diagnose.pages import class_table as pages
from diagnose.screens.at_hand import AtHand
from diagnose.screens.messages import SatDown, SeatWanted
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.entries import ListEntry, options
from diagnose.workshop import classes
from diagnose.workshop.classes import ClassSeat, PracticeClass


class ClassTable(PageScreen[None]):
    """Lists the seats; Enter lets the marked one work, and a digit the one with that number."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "want('teach', 'another')", "another learner"),
        Binding("s", "want('teach', 'sheet')", "the one sheet"),
        Binding("d", "about('debrief')", "debrief"),
        Binding("n", "about('next')", "what is next"),
    ]

    stays = True
    heading = pages.HEADING
    in_short = {"a": "another", "s": "sheet", "n": "next"}

    def __init__(self, at: AtHand, of: PracticeClass) -> None:
        super().__init__(at)
        self.of = of
        self.seats: list[ClassSeat] = []

    def body(self) -> ComposeResult:
        """Lay out what the owner says, and the seats."""
        with VerticalScroll(id="text"):
            yield Static(id="told")
        yield OptionList(id="looks", markup=False)

    def on_mount(self) -> None:
        """Let the list have the keys."""
        self.show()
        self.query_one(OptionList).focus()

    def on_screen_resume(self) -> None:
        """Show how far they are by now."""
        super().on_screen_resume()
        self.show()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self.tell(pages.table(self.session.knowledge, self.of.begun))

    def show(self) -> None:
        """Read the seats again, and mark whose turn it is."""
        self.seats = self.read_or(lambda: classes.seats(self.session.journal, self.of), [])
        due = classes.next_up(self.seats)
        told = [f"{n} {pages.seat_line(one, due=one is due)}" for n, one in enumerate(self.seats, 1)]
        listed = self.query_one(OptionList)
        listed.set_options(options([ListEntry(one.nickname, said) for one, said in zip(self.seats, told, strict=True)]))
        if self.seats:
            listed.highlighted = self.seats.index(due) if due is not None else 0
        self.refresh_bindings()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:  # noqa: ARG002 - Textual's
        """Offer a key only where it does something."""
        return bool(self.seats) if action == "about" else True

    def action_about(self, what: str) -> None:
        """Say that something about the marked one is wanted."""
        marked = self.query_one(OptionList).highlighted
        if marked is not None:
            self.say(SeatWanted(what, self.seats[marked].nickname))

    def action_digit(self, digit: str) -> None:
        """Let the one with that number work."""
        if 1 <= int(digit) <= len(self.seats):
            self.say(SatDown(self.seats[int(digit) - 1].nickname))

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Let the marked one work."""
        self.say(SatDown(self.seats[event.option_index].nickname))
