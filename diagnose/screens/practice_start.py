"""Choose what to practise: a lesson, an engine drawn at random, a fault that a mentor hides; or sit at a real car."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Input, OptionList, Static

from diagnose.errors import DiagnoseError
from diagnose.graph.say import say
from diagnose.graph.wording import clean
from diagnose.pages import practice_start as page
from diagnose.pages.practice_start import LESSON, REAL
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.entries import entries, options
from diagnose.screens.widgets.field import NumberField
from diagnose.screens.widgets.text import hung
from diagnose.workshop.learners import learners, nickname


class PracticeStart(PageScreen[None]):
    """Lists lessons and other ways to begin."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("c", "want('teach', 'class')", "class"),
        Binding("n", "want('practise', 'next')", "next"),
        Binding("r", "want('teach', 'results')", "results"),
        Binding("x", "want('teach', 'delete')", "delete a learner"),
    ]
    in_short = {"x": "delete"}

    heading = page.HEADING

    def body(self) -> ComposeResult:
        """Lay out the list, and what the marked lesson is about."""
        yield OptionList(id="list", markup=False)
        yield Static(id="about")

    def on_mount(self) -> None:
        """Show the list."""
        ways = page.ways(self.session.knowledge, left=bool(learners(self.session.journal)))
        listed = self.query_one(OptionList)
        listed.set_options(options(entries(ways)))
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


class Nickname(PageScreen[str]):
    """Asks for a nickname, and for nothing else. Left empty, nothing is kept."""

    heading = page.NICKNAME.text

    def body(self) -> ComposeResult:
        """Lay out the field."""
        with VerticalScroll(id="text"):
            yield Static(page.KEPT, classes="ask", markup=False)
        yield NumberField("number", page.NICKNAME.hint)
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
