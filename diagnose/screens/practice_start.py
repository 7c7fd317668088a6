"""Choose what to practise: a lesson, an engine drawn at random, a fault that a mentor hides; or sit at a real car."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Input, OptionList, Static

from diagnose.errors import DiagnoseError
from diagnose.graph.say import say
from diagnose.graph.wording import clean
from diagnose.learners import learners, nickname
from diagnose.screens.page import Page
from diagnose.screens.widgets.entries import Entry, options
from diagnose.screens.widgets.field import Field
from diagnose.screens.widgets.text import hung

REAL = "real"
LESSON = "lesson/"


class PracticeStart(Page[None]):
    """Lists lessons and other ways to begin."""

    heading = "Practice: what do you want to work on?"

    def body(self) -> ComposeResult:
        """Lay out the list, and what the marked lesson is about."""
        yield OptionList(id="list", markup=False)
        yield Static(id="about")

    def on_mount(self) -> None:
        """Show the list."""
        lessons = self.session.knowledge.lessons
        kept = learners(self.session.journal)
        entries = [
            *([Entry("", "not finished"), Entry("left", "go on with what you left")] if kept else []),
            *([Entry("", "lessons")] if lessons else []),
            *(Entry(LESSON + key, one.name) for key, one in lessons.items()),
            Entry("", "without a lesson"),
            Entry("random", "an engine with something wrong"),
            Entry("two", "an engine with two things wrong"),
            Entry("hidden", "a mentor hides a fault; the learner looks away"),
            Entry("", "at the table"),
            Entry(REAL, "a real car, beside the others"),
        ]
        listed = self.query_one(OptionList)
        listed.set_options(options(entries))
        listed.focus()
        listed.action_first()

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Say what the marked lesson is about."""
        lesson = self.session.knowledge.lessons.get((event.option.id or "").removeprefix(LESSON))
        told = hung("", say(lesson.text, self.session.knowledge), self.size.width - 4) if lesson else ""
        self.query_one("#about", Static).update(told)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Say what was chosen."""
        chosen = event.option.id or ""
        self.action_want("cars" if chosen == REAL else "practise", chosen)


class Nickname(Page[str]):
    """Asks for a nickname, and for nothing else. Left empty, nothing is kept."""

    heading = "Who works at it?"

    def body(self) -> ComposeResult:
        """Lay out the field."""
        with VerticalScroll(id="text"):
            yield Static("A nickname is enough. Leave it empty, and nothing is kept.", classes="ask", markup=False)
        yield Field("number", "nickname")
        yield Static(id="refused")

    def on_mount(self) -> None:
        """Type at once."""
        self.query_one(Input).focus()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take the nickname, or say what is wrong with it."""
        try:
            self.dismiss(nickname(event.value) if event.value.strip() else "")
        except DiagnoseError as error:
            event.input.value = clean(event.value)
            self.query_one("#refused", Static).update(hung("", f"{error}.", 60))
