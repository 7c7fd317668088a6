"""Taking back: any answer of this walk, the newest first. What was done to the engine is undone by hand."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.pages.take_back import BY_HAND, HEADING, NOTHING
from diagnose.reason.view import Choice
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.text import hung


class TakeBack(PageScreen[int]):
    """Lists what can be taken back; comes to the number of the event."""

    heading = HEADING

    def body(self) -> ComposeResult:
        """List the answers, the newest first."""
        walk = self.session.walk
        trail = walk.view(self.session.clock()).trail if walk else ()
        self.found = [line for line in reversed(trail) if line.can_take_back]
        with VerticalScroll(id="text"):
            yield Static(id="told")
        yield Choices([Choice(str(line.number), line.what) for line in self.found], id="choices")

    def on_mount(self) -> None:
        """Mark the newest: it is most often that."""
        choices = self.query_one(Choices)
        choices.focus()
        choices.highlighted = 0 if self.found else None
        choices.display = bool(self.found)

    def on_resize(self) -> None:
        """Say what stays as it is."""
        self.query_one("#told", Static).update(hung("", BY_HAND if self.found else NOTHING, self.size.width - 6))

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Take it back."""
        self.dismiss(int(event.choice))
