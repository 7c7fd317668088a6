"""A question on a page of its own: a text, and its answers by number. It comes to the id of the answer."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.pages import parts
from diagnose.reason.view import Choice
from diagnose.screens.at_hand import AtHand
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.choices import Choices


class Asked(PageScreen[str]):
    """Shows something to read, and choices."""

    def __init__(self, at: AtHand, heading: str, told: parts.Page, choices: Sequence[Choice]) -> None:
        super().__init__(at)
        self.heading = heading
        self.told = told
        self.choices = choices

    def body(self) -> ComposeResult:
        """Lay out the text and the choices."""
        with VerticalScroll(id="text"):
            yield Static(id="told", classes="block")
        yield Choices(self.choices, id="choices")

    def on_mount(self) -> None:
        """Let the answers have the keys."""
        self.query_one(Choices).focus()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self.tell(self.told)

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Answer it."""
        self.dismiss(event.choice)
