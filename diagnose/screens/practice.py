"""The bench of a practice: what you can look at, by area; what was seen; and a key for each thing that hands can do."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import OptionList, Static

from diagnose.pages import practice as pages
from diagnose.screens.messages import PracticeLooked, TurnedTo
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.entries import options
from diagnose.screens.widgets.seat import looks, seats
from diagnose.screens.widgets.text import plain

AT_PRACTICE = frozenset({"look", "mend", "turn", "run", "laps", "try", "back", "hint", "stop"})
"""What can be done at a practice that goes on."""
AT_CAR = frozenset({"walk", "started", "stopped"})


class PracticeBench(PageScreen[None]):
    """Shows the seat whose turn it is; a digit turns to another."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "home"),
        Binding("enter", "want('cars', 'walk')", "open its walk"),
        Binding("slash", "want('practise', 'look')", "search"),
        Binding("m", "want('practise', 'mend')", "mend"),
        Binding("t", "want('practise', 'turn')", "turn a screw"),
        Binding("r", "want('practise', 'run')", "run it"),
        Binding("f", "want('practise', 'laps')", "fast laps"),
        Binding("r", "want('practise', 'started')", "its engine starts"),
        Binding("r", "want('practise', 'stopped')", "its engine has stopped"),
        Binding("y", "want('practise', 'try')", "try again"),
        Binding("b", "want('practise', 'back')", "back to the record"),
        Binding("h", "want('practise', 'hint')", "hint"),
        Binding("g", "want('practise', 'stop')", "give up"),
        Binding("d", "want('practise', 'debrief')", "debrief"),
        Binding("a", "want('practise', 'join')", "another learner"),
        Binding("k", "want('practise', 'leave')", "leave the table"),
    ]

    stays = True
    in_short = {"t": "turn", "y": "try", "b": "record", "a": "another", "k": "leave"}

    def body(self) -> ComposeResult:
        """Lay out who sits there, what was told, and what can be looked at."""
        yield Static(id="seats")
        with VerticalScroll(id="text"):
            yield Static(id="told")
        yield OptionList(id="looks", markup=False)

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
        """Show what has changed; leave when nobody sits there."""
        if not self.at.table.seats:
            self.dismiss(None)
            return
        self.turned()
        self._paint()
        self.query_one("#text").scroll_home(animate=False)
        listed = self.query_one(OptionList)
        if self.at.practice is not None:
            listed.focus()  # it lost the keys while it was not there, at a real car
        if listed.highlighted is None:
            listed.action_first()

    def stored(self) -> None:
        """Show another seat, from the top of its list."""
        self.query_one(OptionList).highlighted = None
        self.show()

    def _paint(self) -> None:
        seat = self.at.table.seat
        if seat is None:
            return
        practice = seat.practice
        self.query_one("#heading", Static).update(plain(pages.heading(seat)))
        self.query_one("#seats", Static).update(seats(self.at.table.seats, self.at.table.at, self.size.width - 4))
        listed = self.query_one(OptionList)
        listed.display = practice is not None
        if practice is None:
            self.tell(pages.real_car(self.at.table))
        else:
            self.tell(pages.bench(practice))
            marked = listed.highlighted
            listed.set_options(options(looks(practice)))
            listed.highlighted = marked
        self.refresh_bindings()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer a key only where it does something."""
        if action != "want":
            return True
        seat, what = self.at.table.seat, parameters[1]
        if seat is None:
            return what not in AT_PRACTICE | AT_CAR
        if what in AT_CAR:
            return bool(seat.engine) and (what == "walk" or seat.running == (what == "stopped"))
        if what == "back" and seat.practice is not None and not seat.practice.begun.recorded:
            return False
        if what == "join" and seat.practice is not None and seat.practice.begun.group:
            return False  # whose turn is next is chosen at the class
        going = seat.practice is not None and not seat.practice.ended
        if what == "debrief":
            return seat.practice is not None and not going
        return going if what in AT_PRACTICE else True

    def action_digit(self, digit: str) -> None:
        """Turn to another seat."""
        self.say(TurnedTo(int(digit)))

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Look there."""
        self.say(PracticeLooked(event.option.id or ""))
