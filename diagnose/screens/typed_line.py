"""One line that is typed, on a form of its own: it comes to what was typed."""

from __future__ import annotations

from collections.abc import Callable

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.errors import DiagnoseError
from diagnose.pages.parts import Field, FormPage, choices
from diagnose.record.engines import Engine
from diagnose.screens.at_hand import AtHand
from diagnose.screens.form import FormScreen
from diagnose.screens.widgets.asking import asking
from diagnose.screens.widgets.choices import NO_DIGIT, Choices


class TypedLine(FormScreen[str]):
    """Shows a form with one field, which holds `text` at first; `check` raises `DiagnoseError` for what can't be."""

    def __init__(
        self, at: AtHand, engine: Engine, form: FormPage, check: Callable[[str], object], text: str = ""
    ) -> None:
        super().__init__(at, engine)
        self.heading, self.form, self.check, self.text = form.heading, form, check, text
        self.field = next(part.id for part in form.asked if isinstance(part, Field))

    @property
    def _draft_name(self) -> str:
        """Keep a line that was left for the same form and text alone."""
        return f"{super()._draft_name} {self.field} {self.text}"

    def body(self) -> ComposeResult:
        """Lay out the form."""
        with VerticalScroll(id="text"):
            yield from asking(self.form.asked, {self.field: self.text})
        yield Static(id="refused")
        yield Choices(choices(self.form.answers), sign=NO_DIGIT, id="choices")

    def on_mount(self) -> None:
        """Begin in the field."""
        self.query_one(f"#{self.field}").focus()

    def save(self) -> None:
        """Come to the line, or say why it can't be."""
        try:
            self.check(self.typed(self.field))
        except DiagnoseError as error:
            self.refuse(str(error), self.field)
        else:
            self.dismiss(self.typed(self.field))
