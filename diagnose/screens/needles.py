"""The needles of an engine: its screws as faces, what was done to them, and how far they have drifted."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.screen import Screen
from textual.widgets import Static

from diagnose.errors import DiagnoseError
from diagnose.pages import parts
from diagnose.pages.ledger import done
from diagnose.pages.stand import heading, stand
from diagnose.pages.window import in_a_line
from diagnose.record.engines import Engine
from diagnose.screens.messages import Entered
from diagnose.screens.page import Page
from diagnose.tune.needles import Ledger, LedgerEntry

AT_ONCE = 30
"""Entries of the ledger that are shown at first, and that are added by one key."""

RECORD = "Press r, and write down where the screws stand."


class Needles(Page[None]):
    """Shows the ledger of an engine; what is recorded goes to the app, which stores it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("r", "record", "record a setting"),
        Binding("t", "turned", "turned one"),
        Binding("g", "good", "mark it good"),
        Binding("b", "back", "go back"),
        Binding("d", "day", "day"),
        Binding("w", "card", "well card"),
        Binding("s", "slope", "own slope"),
        Binding("i", "heat", "infrared reading"),
        Binding("o", "window", "own window"),
        Binding("m", "more", "more of the ledger"),
        Binding("l", "app.light", "light or dark", show=False),
    ]

    def __init__(self, engine: Engine) -> None:
        super().__init__()
        self.engine = engine
        self.heading = heading(engine)
        self.ledger = Ledger()
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
            *stand(self.ledger, self.engine.variant.needles, RECORD),
            *self.window,
            *done(self.ledger, self.rows),
        )
        self.tell(shown)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:  # noqa: ARG002 - Textual's
        """Offer a key only where it does something."""
        if action == "more":
            return len(self.ledger.entries) > self.rows
        if action == "back":
            return self.ledger.record is not None
        return action not in ("good", "turned", "slope") or bool(self.ledger.entries)

    # keys

    def action_more(self) -> None:
        """Show more of the ledger."""
        self.rows += AT_ONCE
        self._paint()
        self.refresh_bindings()

    def action_record(self) -> None:
        """Record where the screws stand."""
        from diagnose.screens.setting import SettingForm

        self._ask(SettingForm(self.engine, self.ledger))

    def action_turned(self) -> None:
        """Record an adjustment that was made by hand."""
        from diagnose.screens.turned import TurnedForm

        self._ask(TurnedForm(self.engine))

    def action_good(self) -> None:
        """Mark the tune as good."""
        from diagnose.screens.good import GoodTune

        self._ask(GoodTune(self.engine, self.ledger))

    def action_back(self) -> None:
        """Go back to the record."""
        from diagnose.screens.go_back import GoBack

        self._ask(GoBack(self.engine, self.ledger))

    def _ask(self, page: Screen[LedgerEntry]) -> None:
        """Open a page that comes to an entry of the ledger, and have that stored."""
        self.main.push_screen(page, self._write)

    def _write(self, entry: LedgerEntry | None) -> None:
        if entry is not None:
            self.post_message(Entered(self.engine.name, entry, self.show))

    def action_day(self) -> None:
        """Open the day and the fuel."""
        self.main.open_day(self.engine)

    def action_card(self) -> None:
        """Open the well card."""
        self.main.open_card(self.engine)

    def action_heat(self) -> None:
        """Say what is behind a reading of the head."""
        from diagnose.screens.heat import HeadReading

        self.main.push_screen(HeadReading(self.engine))

    def action_window(self) -> None:
        """Open the window of head temperatures in which a screw is turned."""
        from diagnose.screens.own_window import OwnWindow

        self.main.push_screen(OwnWindow(self.engine))

    def action_slope(self) -> None:
        """Open the engine's own slope."""
        from diagnose.screens.slope import OwnSlope

        self.main.push_screen(OwnSlope(self.engine))
