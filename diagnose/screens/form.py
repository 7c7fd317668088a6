"""What forms share: Enter goes on to the next field, and one key saves from anywhere."""

from __future__ import annotations

from typing import ClassVar, TypeVar

from textual import on
from textual.await_complete import AwaitComplete
from textual.binding import BindingType
from textual.widgets import Input, Static

from diagnose.pages.parts import SAVE
from diagnose.pages.unsaved import OFFERED_AGAIN
from diagnose.screens.at_hand import Draft
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.filled import Filled
from diagnose.screens.widgets.pick import Pick
from diagnose.screens.widgets.text import plain

T = TypeVar("T")


class FormScreen(PageScreen[T]):
    """A page with fields; `save` takes what they hold, or says why it can't."""

    BINDINGS: ClassVar[list[BindingType]] = [("ctrl+s", "save", "save")]
    more_key = "tab"
    keeps: ClassVar[bool] = True
    """What is filled in is meant to be saved: left without that, it is offered again."""
    _first: Draft | None = None
    """What stood in the fields at first."""

    def on_mount(self) -> None:
        """Offer again what was filled in before."""
        self._first = self._draft()
        if (draft := self.at.drafts.pop(self._draft_name, None)) is not None:
            for name, text in draft.typed.items():
                self.query_one(f"#{name}", Input).value = text
            for name, number in draft.chosen.items():
                self.query_one(f"#{name}", Pick).choose(number)
            self.on_pick_picked()
            self.query_one("#refused", Static).update(plain(OFFERED_AGAIN, "$secondary"))

    def on_pick_picked(self) -> None:
        """Ask only what belongs to the choice: each form has its own way."""

    @property
    def _draft_name(self) -> str:
        return f"{type(self).__name__} {self.about.name if self.about else ''}"

    def _draft(self) -> Draft:
        return Draft(
            {one.id: one.value for one in self.query(Input) if one.id},
            {one.id: one.chosen for one in self.query(Pick) if one.id},
        )

    @property
    def filled(self) -> bool:
        """Say whether it holds something that is not saved."""
        return self.keeps and self._first is not None and self._draft() != self._first

    def forget(self) -> None:
        """Take what is filled in as saved."""
        self._first = self._draft()
        self.at.drafts.pop(self._draft_name, None)

    def dismiss(self, result: T | None = None) -> AwaitComplete:
        """Go, and keep what is filled in until it is saved."""
        if self.filled:
            self.at.drafts[self._draft_name] = self._draft()
        return super().dismiss(result)

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
