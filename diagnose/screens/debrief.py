"""The debrief: what it was, the score, each step beside the program's, belief over time; then the lesson's question."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.graph.model import Lesson
from diagnose.pages.debrief import HEADING, debrief, lesson, replies
from diagnose.practice.debrief import Debrief
from diagnose.screens.at_hand import AtHand
from diagnose.screens.messages import PracticeReplied
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.choices import Choices


class DebriefPage(PageScreen[None]):
    """Shows the debrief of the practice whose turn it is."""

    heading = HEADING

    def __init__(self, at: AtHand, found: Debrief) -> None:
        super().__init__(at)
        self.found = found

    def body(self) -> ComposeResult:
        """Lay out the text, and the question of a lesson."""
        with VerticalScroll(id="text"):
            yield Static(id="told", classes="block")
        yield Choices(id="choices")

    def on_mount(self) -> None:
        """Let the question, or else the text, have the keys."""
        found = self._lesson()
        asks = found is not None and not self._reply()
        choices = self.query_one(Choices)
        choices.display = asks
        if found is not None and asks:
            choices.show(replies(self.session.knowledge, found))
        (choices if asks else self.query_one("#text")).focus()

    def _lesson(self) -> Lesson | None:
        practice = self.at.practice
        if practice is None or not practice.ended:
            return None
        return self.session.knowledge.lessons.get(practice.begun.lesson)

    def _reply(self) -> str:
        practice = self.at.practice
        return practice.reply if practice is not None else ""

    def on_resize(self) -> None:
        """Break the lines anew."""
        self._paint()

    def _paint(self) -> None:
        known, asks = self.session.knowledge, self._lesson()
        shown = (*(lesson(known, asks, self._reply()) if asks else ()), *debrief(known, self.found))
        self.tell(shown)

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Answer the lesson's question."""
        self.say(PracticeReplied(event.choice))

    def stored(self) -> None:
        """Say whether that was right."""
        self.query_one(Choices).display = False
        text = self.query_one("#text")
        text.focus()
        text.scroll_home(animate=False)
        self._paint()
