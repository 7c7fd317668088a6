"""The engine's own slope: how its high needle has followed the air, from its good tunes, and whether that is enough."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from diagnose.errors import DiagnoseError
from diagnose.record.engines import Engine
from diagnose.screens.page import Page
from diagnose.screens.widgets import plot
from diagnose.screens.widgets.text import hung, lines, plain
from diagnose.tune.needles import Ledger
from diagnose.tune.slope import Slope, logged

NONE_YET = (
    "No good tune is logged with its day, its fuel and a counted high needle yet. Mark good tunes on different days, "
    "and this page learns how the needle follows the air."
)
WHAT_FOR = "n says how the opening of the high needle follows the density of the dry air. Physics expects about a half."
LEGEND = "● a good tune   × left out   · the line.   Upwards: turns open.   To the right: denser air."


class OwnSlope(Page[None]):
    """Shows the slope with its points."""

    def __init__(self, engine: Engine) -> None:
        super().__init__()
        self.engine = engine
        self.heading = f"Own slope: {engine.name}"
        self.ledger = Ledger()
        self.found: Slope | None = None
        self.trouble = ""

    def body(self) -> ComposeResult:
        """Lay out the text."""
        with VerticalScroll(id="text"):
            yield Static(id="told", classes="block")

    def on_mount(self) -> None:
        """Work it out, and let the arrows scroll."""
        try:
            self.ledger, self.found = self.session.ledger(self.engine.name), self.session.slope(self.engine.name)
        except DiagnoseError as error:
            self.trouble = str(error)
        self.query_one("#text").focus()
        self._paint()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self._paint()

    def _paint(self) -> None:
        width, found = self.size.width - 6, self.found
        if found is None:
            shown = [hung("! " if self.trouble else "", self.trouble or NONE_YET, width)]
        else:
            shown = [hung("", found.said, width, "bold"), hung("", WHAT_FOR, width, "$secondary"), Content("")]
            drawn = plot.slope(logged(self.ledger.entries), found, width)
            if drawn:
                shown += [*(plain(row) for row in drawn), Content(""), hung("", LEGEND, width, "$secondary")]
        self.query_one("#told", Static).update(lines(shown))
