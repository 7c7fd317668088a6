"""The debrief: what it was, the score, each step beside the program's, belief over time; then the lesson's question."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from diagnose.graph.model import Lesson
from diagnose.graph.say import say
from diagnose.practice import report
from diagnose.practice.debrief import Debrief
from diagnose.practice.happenings import Replied
from diagnose.reason.view import Choice
from diagnose.screens.page import Page
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.text import hung, lines, plain

HEADING = "bold $primary"


class DebriefPage(Page[None]):
    """Shows the debrief of the practice whose turn it is."""

    heading = "What it was, and how you looked for it"

    def __init__(self, found: Debrief) -> None:
        super().__init__()
        self.found = found

    def body(self) -> ComposeResult:
        """Lay out the text, and the question of a lesson."""
        with VerticalScroll(id="text"):
            yield Static(id="told", classes="block")
        yield Choices(id="choices")

    def on_mount(self) -> None:
        """Let the question, or else the text, have the keys."""
        lesson = self._lesson()
        asks = lesson is not None and not self._reply()
        choices = self.query_one(Choices)
        choices.display = asks
        if lesson is not None and asks:
            known = self.session.knowledge
            choices.show([Choice(key, say(reply.say, known)) for key, reply in lesson.question.answers.items()])
        (choices if asks else self.query_one("#text")).focus()

    def _lesson(self) -> Lesson | None:
        practice = self.main.at_bench
        if practice is None or not practice.ended:
            return None
        return self.session.knowledge.lessons.get(practice.begun.lesson)

    def _reply(self) -> str:
        practice = self.main.at_bench
        return practice.reply if practice is not None else ""

    def on_resize(self) -> None:
        """Break the lines anew."""
        self._paint()

    def _paint(self) -> None:
        width, known = self.size.width - 6, self.session.knowledge
        shown = self._asked(width)
        for group in report.summary(known, self.found):
            shown += _group(group, width)
        shown.append(plain("belief over time", HEADING))
        shown += [plain(row) for row in report.picture(known, self.found, width)]
        shown += [hung("", report.LEGEND, width, "$secondary"), Content("* was wrong"), Content("")]
        shown.append(plain("step by step", HEADING))
        for step in self.found.steps:
            shown += [hung(mark, line, width, "", " " * len(mark)) for mark, line in report.step_lines(step)]
        self.query_one("#told", Static).update(lines(shown))

    def _asked(self, width: int) -> list[Content]:
        """Return what there was to notice in a lesson, and its question with what was answered."""
        lesson, known = self._lesson(), self.session.knowledge
        if lesson is None:
            return []
        shown = [plain("what there was to notice", HEADING)]
        shown += [hung("· ", say(line, known), width) for line in lesson.notice]
        shown += [Content(""), hung("", say(lesson.question.ask, known), width, "bold")]
        if self._reply():
            reply = lesson.question.answers[self._reply()]
            mark = "✓ yes: " if reply.right else "✗ no: "
            shown.append(hung(mark, f"{say(reply.say, known)}. {say(reply.because, known)}", width))
            if not reply.right:
                right = lesson.question.answers[lesson.question.right]
                shown.append(hung("better: ", f"{say(right.say, known)}. {say(right.because, known)}", width))
        return [*shown, Content("")]

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Answer the lesson's question, and say whether that was right."""
        if self.main.happened(Replied(event.choice)):
            self.query_one(Choices).display = False
            text = self.query_one("#text")
            text.focus()
            text.scroll_home(animate=False)
            self._paint()


def _group(group: report.Group, width: int) -> list[Content]:
    shown = [plain(group.heading, HEADING)]
    shown += [hung(mark, line, width) for mark, line in group.lines]
    return [*shown, Content("")]
