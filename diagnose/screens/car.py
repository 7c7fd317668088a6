"""A car on one page; its keys go back to a tune, open a walk, tick what is owed, note something, and undo."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.errors import DiagnoseError
from diagnose.pages import parts
from diagnose.pages.car import HEADING, car_page
from diagnose.record.engines import Engine
from diagnose.screens.at_hand import AtHand
from diagnose.screens.messages import TuneChosen
from diagnose.screens.page import PageScreen
from diagnose.workshop.car import KnownCar, car
from diagnose.workshop.entries import entries

RECORD = "press r."
TO_TUNE = "Press its number to go back to it."


class CarPage(PageScreen[None]):
    """Shows all that is known of a car."""

    heading = HEADING
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("b", "want('tune', 'back')", "go back"),
        Binding("o", "want('car', 'walk')", "open walk"),
        Binding("t", "want('car', 'tick')", "tick what is owed"),
        Binding("n", "want('car', 'note')", "note"),
        Binding("u", "want('car', 'entries')", "undo, put right"),
        Binding("g", "want('tune', 'good')", "mark it good"),
        Binding("r", "want('tune', 'record')", "record a setting"),
        Binding("v", "want('car', 'time')", "the tune over time"),
        Binding("h", "want('tune', 'needles')", "needles"),
        Binding("l", "app.light", "light or dark", show=False),
    ]

    def __init__(self, at: AtHand, engine: Engine) -> None:
        super().__init__(at, engine)
        self.car: KnownCar | None = None
        self.trouble = ""

    def body(self) -> ComposeResult:
        """Lay out the text."""
        with VerticalScroll(id="text"):
            yield Static(id="told", classes="block")

    def on_mount(self) -> None:
        """Let the arrows scroll."""
        self.query_one("#text").focus()

    def on_screen_resume(self) -> None:
        """Show what has changed while another page was open."""
        self.show()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self._paint()

    def show(self) -> None:
        """Read all of it again, and paint."""
        self.trouble = ""
        try:
            self.car = car(self.session, self.engine.name)
        except DiagnoseError as error:
            self.trouble = str(error)
        self._paint()
        self.refresh_bindings()

    def _paint(self) -> None:
        told = car_page(self.car, self.session.knowledge, RECORD, TO_TUNE, faces=False) if self.car else ()
        self.tell((*parts.trouble(self.trouble), *told))

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer a key only where it does something."""
        what = parameters[1] if action == "want" else ""
        if self.car is None:
            return what == ""
        there = {
            "back": bool(self.car.ledger.kept),
            "walk": bool(self.car.left),
            "tick": bool(self.car.owed) or len(self.car.left) > 1,
            "time": bool(self.car.ledger.entries or self.car.heads),
            "entries": bool(entries(self.car)),
            "good": bool(self.car.ledger.entries),
        }
        return there.get(str(what), True)

    def action_digit(self, digit: str) -> None:
        """Go back to the tune of that number."""
        kept = self.car.ledger.kept if self.car else ()
        if 1 <= int(digit) <= len(kept):
            self.say(TuneChosen(self.engine, kept[int(digit) - 1]))
