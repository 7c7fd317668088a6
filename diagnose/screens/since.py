"""One question when earlier answers still count, or nobody answered for a while: what has happened to the car since."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.pages.parts import choices
from diagnose.pages.since import ANSWERS, HEADING, SAID, since_page
from diagnose.reason.events import Happened as OnWalk
from diagnose.screens.messages import WalkHappened
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.rendered import rendered


class Since(PageScreen[None]):
    """Asks what has made the answers that still count stale."""

    heading = HEADING

    def body(self) -> ComposeResult:
        """Say what still counts, and ask."""
        with VerticalScroll(id="text"):
            yield Static(id="carried", classes="block")
        yield Choices(choices(ANSWERS), id="choices")

    def on_mount(self) -> None:
        """Let the answers have the keys."""
        self.query_one(Choices).focus()

    def on_resize(self) -> None:
        """Say which earlier answers still count."""
        walk = self.session.walk
        assert walk is not None
        self.query_one("#carried", Static).update(rendered(since_page(walk), self.size.width - 6))

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Pass it on."""
        what = next(what for what in SAID if what == event.choice)
        self.say(WalkHappened(OnWalk(self.session.clock(), what)))
