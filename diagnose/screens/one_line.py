"""One line to type, under what there is to say of it; it comes to what was typed, once that is fit."""

from __future__ import annotations

from collections.abc import Callable

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Input, Static

from diagnose.errors import DiagnoseError
from diagnose.graph.wording import clean
from diagnose.pages.parts import Field
from diagnose.screens.at_hand import AtHand
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.field import NumberField
from diagnose.screens.widgets.text import hung


class OneLine(PageScreen[str]):
    """Asks for a line of text. `refuses` raises `DiagnoseError` for what can't be taken."""

    def __init__(self, at: AtHand, asked: Field, told: str, refuses: Callable[[str], object] | None = None) -> None:
        super().__init__(at)
        self.heading, self.hint, self.told, self.refuses = asked.text, asked.hint, told, refuses

    def body(self) -> ComposeResult:
        """Lay out the field."""
        with VerticalScroll(id="text"):
            yield Static(self.told, classes="ask", markup=False)
        yield NumberField("number", self.hint)
        yield Static(id="refused")

    def on_mount(self) -> None:
        """Type at once."""
        self.query_one(Input).focus()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take the line, or say what is wrong with it."""
        try:
            if self.refuses is not None:
                self.refuses(event.value)
        except DiagnoseError as error:
            event.input.value = clean(event.value)
            self.query_one("#refused", Static).update(hung("", f"{error}.", self.size.width - 6))
        else:
            self.dismiss(event.value)
