"""The needles of an engine: its screws as faces, what was done to them, and how far they have drifted."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType

from diagnose.pages import parts
from diagnose.pages.ledger import done
from diagnose.pages.stand import heading, stand
from diagnose.pages.window import in_a_line
from diagnose.record.engines import Engine
from diagnose.screens.at_hand import AtHand
from diagnose.screens.text_page import FreshPage
from diagnose.tune.needles import Ledger

AT_ONCE = 30
"""Entries of the ledger that are shown at first, and that are added by one key."""

RECORD = "press r."


class Needles(FreshPage):
    """Shows the ledger of an engine."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("t", "want('tune', 'turned')", "turned one"),
        Binding("b", "want('tune', 'back')", "go back"),
        Binding("g", "want('tune', 'good')", "mark it good"),
        Binding("r", "want('tune', 'record')", "record a setting"),
        Binding("d", "want('tune', 'day')", "day"),
        Binding("w", "want('tune', 'card')", "well card"),
        Binding("s", "want('tune', 'slope')", "own slope"),
        Binding("i", "want('tune', 'heat')", "infrared reading"),
        Binding("o", "want('tune', 'window')", "own window"),
        Binding("e", "want('car', 'page')", "car's page"),
        Binding("m", "more", "more of the ledger"),
        Binding("l", "app.light", "light or dark", show=False),
    ]
    in_short = {
        "t": "turned",
        "g": "good",
        "r": "record",
        "w": "card",
        "s": "slope",
        "i": "infrared",
        "o": "window",
        "e": "car",
        "m": "ledger",
    }

    def __init__(self, at: AtHand, engine: Engine) -> None:
        super().__init__(at, engine)
        self.heading = heading(engine)
        self.ledger = Ledger()
        self.gap: float | None = None
        self.window: parts.Page = ()
        self.rows = AT_ONCE
        self._times = 0
        """How often the ledger was read."""
        self._painted: tuple[int, ...] = ()
        """The width, the rows and the reading that the text was made for."""

    def read(self) -> None:
        """Read the ledger, and what the readings say of the window."""
        self._times += 1
        name = self.engine.name
        self.ledger = self.session.ledger(name)
        self.gap = self.session.gap(name)
        self.window = in_a_line(self.session.window(name), self.session.offered_window(name))

    def text(self) -> parts.Page:
        """Return the faces, the window, and what was done."""
        needles = self.engine.variant.needles
        return (*stand(self.ledger, needles, RECORD, self.gap), *self.window, *done(self.ledger, self.rows))

    def paint(self) -> None:
        """Show it, unless that is what is shown: opening a page resizes it and resumes it."""
        made_of = (self.size.width, self.rows, self._times)
        if made_of != self._painted and self.size.width:
            self._painted = made_of
            super().paint()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer a key only where it does something."""
        if action == "more":
            return len(self.ledger.entries) > self.rows
        what = parameters[1] if action == "want" else ""
        if what == "back":
            return self.ledger.record is not None
        return what not in ("good", "turned", "slope") or bool(self.ledger.entries)

    # keys

    def action_more(self) -> None:
        """Show more of the ledger."""
        self.rows += AT_ONCE
        self.paint()
        self.refresh_bindings()
