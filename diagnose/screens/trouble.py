"""The journal can't be used: one clear line, and the choice to go on without saving or to leave."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.pages import unsaved
from diagnose.pages.parts import choices
from diagnose.screens.at_hand import AtHand
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.choices import Choices


class Trouble(PageScreen[bool]):
    """Comes to True to go on without saving, to False to leave."""

    heading = unsaved.HEADING

    def __init__(self, at: AtHand, because: str) -> None:
        super().__init__(at)
        self.because = because

    def body(self) -> ComposeResult:
        """Lay out the reason and the choice."""
        with VerticalScroll(id="text"):
            yield Static(id="told", classes="block")
        yield Choices(choices(unsaved.ANSWERS), id="choices")

    def on_mount(self) -> None:
        """Let the answers have the keys."""
        self.query_one(Choices).focus()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self.tell(unsaved.trouble(self.because))

    def action_leave(self) -> None:
        """Take going back as leaving: nothing is lost that was saved."""
        self.dismiss(False)

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Go on, or leave."""
        self.dismiss(event.choice == unsaved.ON)
