"""One line of a form: what is asked, the field, and why what was typed can't be, beside it or below it."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Container
from textual.widgets import Input, Static

from diagnose.graph.wording import clean
from diagnose.screens.widgets.field import NumberField
from diagnose.screens.widgets.text import plain


class Filled(Container):
    """A field with its name before it and its refusal beside it. Its `id` is that of the field, with ``-line``."""

    def __init__(self, field: str, asked: str, hint: str = "", value: str = "") -> None:
        super().__init__(id=f"{field}-line", classes="filled")
        self.field, self.asked, self.hint, self._first = field, asked, hint, " ".join(clean(value).split())

    def compose(self) -> ComposeResult:
        """Lay out the line, with what is known already."""
        yield Static(plain(self.asked))
        yield NumberField(self.field, self.hint, self._first)
        yield Static(classes="refusal")

    @property
    def typed(self) -> str:
        """What stands in the field."""
        return self.query_one(Input).value.strip()

    def refuse(self, why: str) -> None:
        """Say why it can't be; nothing when it can."""
        refusal = self.query_one(".refusal", Static)
        refusal.display = bool(why)
        if why:
            refusal.update(plain(f"! {why}", "bold $error"))

    def hint_at(self, example: str) -> None:
        """Show another example in the empty field."""
        self.query_one(Input).placeholder = example
