"""One line of a form: what is asked, the field, and why what was typed can't be, beside it or below it."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Container, Horizontal
from textual.content import Content
from textual.widgets import Input, Static

from diagnose.screens.widgets.field import Field
from diagnose.screens.widgets.text import clean, plain


class Filled(Container):
    """A field with its name before it and its refusal beside it. Its `id` is that of the field, with ``-line``."""

    def __init__(self, field: str, asked: str, hint: str = "", value: str = "") -> None:
        super().__init__(id=f"{field}-line", classes="filled")
        self.field, self.asked, self.hint, self._first = field, asked, hint, value

    def compose(self) -> ComposeResult:
        """Lay out the line."""
        with Horizontal(classes="setting"):
            yield Static(plain(self.asked), classes="asked")
            yield Field(self.field, self.hint)
        yield Static(classes="refusal")

    def on_mount(self) -> None:
        """Show what is known already."""
        self.query_one(Input).value = " ".join(clean(self._first).split())
        self.refuse("")

    @property
    def typed(self) -> str:
        """What stands in the field."""
        return self.query_one(Input).value.strip()

    def refuse(self, why: str) -> None:
        """Say why it can't be; nothing when it can."""
        refusal = self.query_one(".refusal", Static)
        refusal.update(plain(f"! {why}", "bold $error") if why else Content(""))
        refusal.display = bool(why)

    def hint_at(self, example: str) -> None:
        """Show another example in the empty field."""
        self.query_one(Input).placeholder = example
