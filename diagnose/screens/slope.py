"""The engine's own slope: how its high needle has followed the air, from its good tunes, and whether that is enough."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.errors import DiagnoseError
from diagnose.pages import parts
from diagnose.pages.own_slope import own_slope
from diagnose.record.engines import Engine
from diagnose.screens.at_hand import AtHand
from diagnose.screens.page import PageScreen


class OwnSlope(PageScreen[None]):
    """Shows the slope with its points."""

    def __init__(self, at: AtHand, engine: Engine) -> None:
        super().__init__(at, engine)
        self.heading = f"Own slope: {engine.name}"
        self.told: parts.Page = ()

    def body(self) -> ComposeResult:
        """Lay out the text."""
        with VerticalScroll(id="text"):
            yield Static(id="told", classes="block")

    def on_mount(self) -> None:
        """Work it out, and let the arrows scroll."""
        try:
            self.told = own_slope(self.session.ledger(self.engine.name), self.session.slope(self.engine.name))
        except DiagnoseError as error:
            self.told = (parts.Line(str(error), "!"),)
        self.query_one("#text").focus()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self.tell(self.told)
