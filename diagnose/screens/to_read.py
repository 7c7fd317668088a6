"""A page that is only read: the arrows scroll it."""

from __future__ import annotations

from collections.abc import Callable

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.pages import parts
from diagnose.screens.at_hand import AtHand
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.rendered import rendered


class ToRead(PageScreen[None]):
    """Shows what `told` returns."""

    def __init__(self, at: AtHand, heading: str, told: Callable[[], parts.Page]) -> None:
        super().__init__(at)
        self.heading, self.told = heading, told

    def body(self) -> ComposeResult:
        """Lay out the text."""
        with VerticalScroll(id="text"):
            yield Static(id="told", classes="block")

    def on_mount(self) -> None:
        """Let the arrows scroll."""
        self.query_one("#text").focus()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self.query_one("#told", Static).update(rendered(self.told(), self.size.width - 6))
