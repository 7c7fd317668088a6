"""A note in the person's own words; it comes to the text."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.pages.outing import EMPTY
from diagnose.pages.parts import FormPage, choices
from diagnose.screens.at_hand import AtHand
from diagnose.screens.form import FormScreen
from diagnose.screens.widgets.asking import asking
from diagnose.screens.widgets.choices import Choices


class NoteForm(FormScreen[str]):
    """Asks for the note."""

    def __init__(self, at: AtHand, form: FormPage) -> None:
        super().__init__(at)
        self.form, self.heading = form, form.heading

    def body(self) -> ComposeResult:
        """Lay out the field."""
        with VerticalScroll(id="text"):
            yield from asking(self.form.asked, {})
        yield Static(id="refused")
        yield Choices(choices(self.form.answers), id="choices")

    def on_mount(self) -> None:
        """Let the field have the keys."""
        self.query_one("#note").focus()

    def save(self) -> None:
        """Come to the text; one that says nothing is refused."""
        if text := self.typed("note").strip():
            self.forget()
            self.dismiss(text)
        else:
            self.refuse(EMPTY, "note")
