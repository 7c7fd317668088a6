"""An outing step by step: what happened, and what was believed and owed then."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.pages import replay as pages
from diagnose.pages.parts import choices
from diagnose.screens.at_hand import AtHand
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.text import plain
from diagnose.workshop.replaying import Replayed


class Replay(PageScreen[None]):
    """Shows one step at a time; the first answer goes on to the next."""

    def __init__(self, at: AtHand, found: Replayed) -> None:
        super().__init__(at)
        self.found = found
        self.number = 0
        self.heading = pages.heading(found, 0)

    def body(self) -> ComposeResult:
        """Lay out the step and where one can go from it."""
        with VerticalScroll(id="text"):
            yield Static(id="told", classes="block")
        yield Choices(choices(pages.answers(self.found, 0)), id="choices")

    def on_mount(self) -> None:
        """Let the answers have the keys."""
        self.query_one(Choices).focus()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self.tell(pages.step_of(self.found, self.number))

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Go to another step, or back to the outing."""
        if event.choice == pages.BACK:
            self.dismiss(None)
            return
        self.number += 1 if event.choice == pages.NEXT else -1
        self.query_one("#heading", Static).update(plain(pages.heading(self.found, self.number)))
        self.tell(pages.step_of(self.found, self.number))
        self.query_one("#text").scroll_home(animate=False)
        self.query_one(Choices).show(choices(pages.answers(self.found, self.number)))
        self.turned()
