"""One question when earlier answers still count, or nobody answered for a while: what has happened to the car since."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.reason.events import Incident
from diagnose.reason.view import Choice
from diagnose.screens.messages import SinceTold
from diagnose.screens.page import Page
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.text import clock, hung, lines

NOTHING = "nothing"
SINCE = (
    Choice(NOTHING, "none of these"),
    Choice("started", "it has been started"),
    Choice("refuelled", "it has been refuelled (and started)"),
    Choice("opened", "something has been opened"),
    Choice("crashed", "it has crashed or landed hard"),
)
INCIDENTS: dict[str, Incident] = {
    NOTHING: "nothing",
    "started": "started",
    "refuelled": "refuelled",
    "opened": "opened",
    "crashed": "crashed",
}


class Since(Page[None]):
    """Asks what has made the answers that still count stale."""

    heading = "What has happened to the car since?"

    def body(self) -> ComposeResult:
        """Say what still counts, and ask."""
        with VerticalScroll(id="text"):
            yield Static(id="carried", classes="block")
        yield Choices(SINCE, id="choices")

    def on_mount(self) -> None:
        """Let the answers have the keys."""
        self.query_one(Choices).focus()

    def on_resize(self) -> None:
        """Say which earlier answers still count."""
        walk = self.session.walk
        assert walk is not None
        width = self.size.width - 6
        told = "These answers of earlier today still count. You need not give them again."
        if len(walk.events) > 1:
            told = f"Your last answer that counts was at {clock(walk.answered_at)}. Then comes the question again."
            told += " What was in order counts on, unless something has happened:"
        shown = [hung("", told, width)]
        for name, given in walk.state.answers.items():
            if walk.scope.checks[name].answers[given.answer].healthy:
                shown.append(hung("✓ ", f"{walk.scope.checks[name].name}, {clock(given.at)}", width))
        self.query_one("#carried", Static).update(lines(shown))

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Pass it on."""
        self.post_message(SinceTold(INCIDENTS[event.choice]))
