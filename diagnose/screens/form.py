"""What forms share: Enter goes on to the next field, and one key saves from anywhere."""

from __future__ import annotations

from typing import ClassVar, TypeVar

from textual import on
from textual.binding import BindingType
from textual.widgets import Input, Static

from diagnose.pages.parts import SAVE
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.filled import Filled
from diagnose.screens.widgets.pick import Pick
from diagnose.screens.widgets.text import plain

T = TypeVar("T")


class FormScreen(PageScreen[T]):
    """A page with fields; `save` takes what they hold, or says why it can't."""

    BINDINGS: ClassVar[list[BindingType]] = [("ctrl+s", "save", "save")]

    @on(Input.Submitted)
    @on(Pick.Picked)
    def _next(self) -> None:
        self.focus_next()

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Do what was chosen. Textual calls this for every class, so that a form overrides `choose` instead."""
        self.choose(event.choice)

    def choose(self, choice: str) -> None:
        """Save, or go back without."""
        if choice == SAVE:
            self.action_save()
        else:
            self.dismiss(None)

    def action_save(self) -> None:
        """Take what the fields hold."""
        for line in self.query(Filled):
            line.refuse("")
        self.refuse("")
        self.save()

    def save(self) -> None:
        """Take what the fields hold, or say why it can't be: each form has its own."""

    def typed(self, field: str) -> str:
        """Return what stands in a field."""
        return self.query_one(f"#{field}-line", Filled).typed

    def chosen(self, question: str) -> int:
        """Return which one was picked."""
        return self.query_one(f"#{question}", Pick).chosen

    def refuse(self, why: str, field: str = "") -> None:
        """Say why it can't be: beside a field, which gets the keys, or at the foot."""
        if field:
            self.query_one(f"#{field}-line", Filled).refuse(why)
            self.query_one(f"#{field}").focus()
        else:
            self.query_one("#refused", Static).update(plain(why, "bold $error"))
