"""A page that is read: the arrows scroll its text, and the lines are broken anew for each width."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.errors import DiagnoseError
from diagnose.pages import parts
from diagnose.screens.page import PageScreen


class TextPage(PageScreen[None]):
    """Shows what `text` returns."""

    def body(self) -> ComposeResult:
        """Lay out the text."""
        with VerticalScroll(id="text"):
            yield Static(id="told", classes="block")

    def on_mount(self) -> None:
        """Let the arrows scroll."""
        self.query_one("#text").focus()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self.paint()

    def text(self) -> parts.Page:
        """Return what is read here."""
        return ()

    def paint(self) -> None:
        """Show it for the width that there is."""
        self.tell(self.text())


class FreshPage(TextPage):
    """The same of what may change while another page is open: it is read anew whenever this one comes up."""

    trouble = ""
    """Why it can't be read; "" where it can."""

    def on_screen_resume(self) -> None:
        """Show what has changed while another page was open."""
        self.show()

    def read(self) -> None:
        """Read all of it; raises `DiagnoseError` for what can't be read."""

    def show(self) -> None:
        """Read it again, and paint."""
        self.trouble = ""
        try:
            self.read()
        except DiagnoseError as error:
            self.trouble = str(error)
        self.paint()
        self.refresh_bindings()

    def paint(self) -> None:
        """Show it for the width that there is, and what can't be read."""
        self.tell((*parts.trouble(self.trouble), *self.text()))
