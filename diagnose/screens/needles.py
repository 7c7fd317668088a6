"""The needles of an engine: its screws as faces, what was done to them, and how far they have drifted."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.errors import DiagnoseError
from diagnose.pages import parts
from diagnose.pages.ledger import done
from diagnose.pages.stand import heading, stand
from diagnose.pages.window import in_a_line
from diagnose.record.engines import Engine
from diagnose.screens.at_hand import AtHand
from diagnose.screens.page import PageScreen
from diagnose.tune.needles import Ledger

AT_ONCE = 30
"""Entries of the ledger that are shown at first, and that are added by one key."""

RECORD = "press r."


class Needles(PageScreen[None]):
    """Shows the ledger of an engine."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("r", "want('tune', 'record')", "record a setting"),
        Binding("t", "want('tune', 'turned')", "turned one"),
        Binding("g", "want('tune', 'good')", "mark it good"),
        Binding("b", "want('tune', 'back')", "go back"),
        Binding("d", "want('tune', 'day')", "day"),
        Binding("w", "want('tune', 'card')", "well card"),
        Binding("s", "want('tune', 'slope')", "own slope"),
        Binding("i", "want('tune', 'heat')", "infrared reading"),
        Binding("o", "want('tune', 'window')", "own window"),
        Binding("e", "want('car', 'page')", "car's page"),
        Binding("m", "more", "more of the ledger"),
        Binding("l", "app.light", "light or dark", show=False),
    ]

    def __init__(self, at: AtHand, engine: Engine) -> None:
        super().__init__(at, engine)
        self.heading = heading(engine)
        self.ledger = Ledger()
        self.gap: float | None = None
        self.window: parts.Page = ()
        self.rows = AT_ONCE
        self.trouble = ""
        self._times = 0
        """How often the ledger was read."""
        self._painted: tuple[int, ...] = ()
        """The width, the rows and the reading that the text was made for: opening a page resizes it and resumes it."""

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
        """Lay out anew for the width."""
        self._paint()

    def show(self) -> None:
        """Read the ledger again, and paint."""
        self.trouble = ""
        self._times += 1
        try:
            self.ledger = self.session.ledger(self.engine.name)
            self.gap = self.session.gap(self.engine.name)
            name = self.engine.name
            self.window = in_a_line(self.session.window(name), self.session.offered_window(name))
        except DiagnoseError as error:
            self.trouble = str(error)
        self._paint()
        self.refresh_bindings()

    def _paint(self) -> None:
        made_of = (self.size.width, self.rows, self._times)
        if made_of == self._painted or not self.size.width:
            return
        self._painted = made_of
        shown = (
            *parts.trouble(self.trouble),
            *stand(self.ledger, self.engine.variant.needles, RECORD, self.gap),
            *self.window,
            *done(self.ledger, self.rows),
        )
        self.tell(shown)

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
        self._paint()
        self.refresh_bindings()
