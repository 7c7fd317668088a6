"""A car on one page; its keys go back to a tune, open a walk, tick what is owed, note something, and undo."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType

from diagnose.pages import parts
from diagnose.pages.car import HEADING, car_page
from diagnose.record.engines import Engine
from diagnose.screens.at_hand import AtHand
from diagnose.screens.messages import TuneChosen
from diagnose.screens.text_page import FreshPage
from diagnose.workshop.car import KnownCar, car
from diagnose.workshop.entries import entries

RECORD = "press r."
TO_TUNE = "Press its number to go back to it."


class CarPage(FreshPage):
    """Shows all that is known of a car."""

    heading = HEADING
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("t", "want('car', 'tick')", "tick what is owed"),
        Binding("o", "want('car', 'walk')", "open walk"),
        Binding("b", "want('tune', 'back')", "go back"),
        Binding("n", "want('car', 'note')", "note"),
        Binding("u", "want('car', 'entries')", "undo, put right"),
        Binding("g", "want('tune', 'good')", "mark it good"),
        Binding("r", "want('tune', 'record')", "record a setting"),
        Binding("v", "want('car', 'time')", "the tune over time"),
        Binding("h", "want('tune', 'needles')", "needles"),
        Binding("l", "app.light", "light or dark", show=False),
    ]
    in_short = {"t": "tick", "o": "walk", "u": "undo", "g": "good", "r": "record", "v": "over time"}

    def __init__(self, at: AtHand, engine: Engine) -> None:
        super().__init__(at, engine)
        self.car: KnownCar | None = None

    def read(self) -> None:
        """Read all of it."""
        self.car = car(self.session, self.engine.name)

    def text(self) -> parts.Page:
        """Return the page of the car."""
        return car_page(self.car, self.session.knowledge, RECORD, TO_TUNE, faces=False) if self.car else ()

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
