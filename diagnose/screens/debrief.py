"""The debrief: the learner's own view, both ways side by side, marks last; and the question of a lesson."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.graph.model import Lesson
from diagnose.pages.debrief import HEADING, case_named, debrief, lesson, replies
from diagnose.pages.parts import Gap
from diagnose.practice.debrief import Debrief
from diagnose.practice.happenings import NamedInCase, Ruled
from diagnose.screens.at_hand import AtHand
from diagnose.screens.messages import PracticeReplied
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.choices import Choices


class DebriefPage(PageScreen[None]):
    """Shows the debrief of the practice whose turn it is."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("w", "want('practise', 'rule')", "your rule"),
        Binding("c", "want('practise', 'case')", "a new case"),
        Binding("n", "want('practise', 'next')", "what is next"),
    ]

    heading = HEADING
    in_short = {"w": "rule", "c": "case", "n": "next"}

    def __init__(self, at: AtHand, found: Debrief, after: str = "") -> None:
        super().__init__(at)
        self.found = found
        self.after = after
        """What to practise next, in a line."""

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
            assert self.at.practice is not None
            choices.show(replies(self.at.practice))
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
        known, asks, practice = self.session.knowledge, self._lesson(), self.at.practice
        assert practice is not None
        named = practice.said(NamedInCase)
        above = (
            *(lesson(known, asks, self._reply()) if asks else ()),
            *((*case_named(known, named), Gap()) if named is not None else ()),
        )
        self.tell((*above, *debrief(practice, self.found, self.after)))

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer a key only where it does something."""
        practice = self.at.practice
        if action != "want" or practice is None:
            return True
        said = {"rule": practice.said(Ruled), "case": practice.said(NamedInCase)}
        return practice.ended != "" and said.get(str(parameters[1])) is None

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Answer the lesson's question."""
        self.say(PracticeReplied(event.choice))

    def stored(self) -> None:
        """Say whether that was right."""
        self.query_one(Choices).display = self._lesson() is not None and not self._reply()
        self.refresh_bindings()
        text = self.query_one("#text")
        text.focus()
        text.scroll_home(animate=False)
        self._paint()
