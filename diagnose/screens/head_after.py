"""Asks for the head after a turn, or going back, that cured it; it may be skipped."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.widgets import Input, Static

from diagnose.errors import DiagnoseError
from diagnose.pages.head_after import ANSWERS, ASKED, HEADING, UNIT
from diagnose.pages.parts import choices
from diagnose.pages.step import EXAMPLES
from diagnose.reason.events import HeadRead
from diagnose.screens.messages import WalkHappened
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.choices import NO_DIGIT, Choices
from diagnose.screens.widgets.field import NumberField
from diagnose.tune.typed import on_the_bench


class HeadAfter(PageScreen[None]):
    """Takes a reading, or that there is none."""

    heading = HEADING

    def body(self) -> ComposeResult:
        """Lay out the question, the field and the answer."""
        with VerticalScroll(id="text"):
            yield Static(id="told", classes="block")
        with Horizontal(id="measure"):
            yield Static(Content(f"{UNIT}: "), id="unit")
            yield NumberField("number", EXAMPLES[UNIT])
        yield Choices(id="choices")

    def on_mount(self) -> None:
        """Let the answer have the keys; digits are typed into the field."""
        self.query_one(Choices).show(choices(ANSWERS), sign=NO_DIGIT)
        self.query_one(Choices).focus()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self.tell(ASKED)

    def number_field(self) -> Input | None:
        """Return the field: digits are typed into it."""
        return self.query_one("#number", Input)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Keep the reading."""
        try:
            head = on_the_bench(event.value, UNIT)
        except DiagnoseError as error:
            self.notify(str(error), markup=False)
            return
        self.say(WalkHappened(HeadRead(self.session.clock(), head)))

    def on_choices_chosen(self) -> None:
        """Go on without one."""
        self.say(WalkHappened(HeadRead(self.session.clock())))
