"""Three questions before any check. Each may be skipped, or all of them with one key."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.graph.say import say
from diagnose.reason.events import SKIPPED, Told
from diagnose.reason.view import Choice
from diagnose.screens.messages import Happened
from diagnose.screens.page import Page
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.text import hung, plain
from diagnose.session import untold


class History(Page[None]):
    """Shows the history question that is due; `show` repaints it for the next one."""

    heading = "First, what do you know about it?"
    BINDINGS: ClassVar[list[BindingType]] = [("n", "skip_all", "skip them all"), ("u", "app.take_back", "take back")]

    def body(self) -> ComposeResult:
        """Lay out the question and its answers."""
        with VerticalScroll(id="text"):
            yield Static(id="count")
            yield Static(id="ask")
        yield Choices(id="choices")

    def on_mount(self) -> None:
        """Ask the first one."""
        self.query_one(Choices).focus()
        self._paint()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self._paint()

    def show(self) -> None:
        """Put the question that is due."""
        self._paint()
        self.turned()

    def _paint(self) -> None:
        walk = self.session.walk
        names = untold(walk) if walk else ()
        if walk is None or not names:
            return
        known = walk.knowledge
        question = known.history[names[0]]
        number = sum(name in walk.state.told for name in known.history) + 1
        told = f"question {number} of {number + len(names) - 1} · you may skip it"
        self.query_one("#count", Static).update(plain(told, "$secondary"))
        self.query_one("#ask", Static).update(hung("", say(question.ask, known), self.size.width - 6, "bold"))
        choices = [Choice(key, say(answer.say, known)) for key, answer in question.answers.items()]
        self.query_one(Choices).show([*choices, Choice(SKIPPED, "skip this question")])

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Tell the answer."""
        self._tell(event.choice, 1)

    def action_skip_all(self) -> None:
        """Skip what is left."""
        self._tell(SKIPPED, None)

    def _tell(self, answer: str, count: int | None) -> None:
        walk = self.session.walk
        for name in untold(walk)[:count] if walk else ():
            self.post_message(Happened(Told(self.session.clock(), name, answer)))
