"""Time: how many minutes there are, what is owed, the moment to close the car up, and the last word."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.widgets import Input, Static

from diagnose.errors import DiagnoseError
from diagnose.pages.parts import choices
from diagnose.pages.time import ASKS, time_page
from diagnose.reason.events import Deadline
from diagnose.reason.view import View
from diagnose.screens.messages import WalkHappened
from diagnose.screens.page import SHORT, PageScreen
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.field import NumberField
from diagnose.screens.widgets.rendered import rendered
from diagnose.tune.quantity import read

EVERY = 15.0
"""Seconds between looks at the clock."""


class Time(PageScreen[str]):
    """Asks for the minutes, and lists what is owed; comes to the id of a check to answer."""

    heading = "Time"
    BINDINGS: ClassVar[list[BindingType]] = [
        ("m", "minutes", "set the minutes"),
        ("x", "no_deadline", "no deadline"),
        Binding("down", "list", show=False),
    ]

    def body(self) -> ComposeResult:
        """Lay out the minutes, the owed checks and the last word."""
        with Horizontal(id="measure"):
            yield Static(Content(ASKS), id="unit")
            yield NumberField("number")
        yield Static(id="told")
        yield Choices(id="choices")
        yield Static(id="words")

    def on_mount(self) -> None:
        """Ask for the minutes first; once they are known, the list has the keys."""
        self.show()
        self.set_interval(EVERY, self.show)
        (self.query_one(Input) if self._view.deadline is None else self.query_one(Choices)).focus()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self.show()

    @property
    def _view(self) -> View:
        assert self.session.walk is not None
        return self.session.walk.view(self.session.clock())

    def show(self) -> None:
        """Paint what the walk says now."""
        width = self.size.width - 6
        page = time_page(self._view, self.session.clock(), brief=self.size.height < SHORT)
        self.query_one("#told", Static).update(rendered(page.told, width))
        self.query_one("#words", Static).update(rendered(page.word, width))
        self.query_one(Choices).show(choices(page.looks))

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Set the deadline."""
        try:
            left = read(event.value, "min")
        except DiagnoseError as error:
            self.notify(str(error), markup=False)
            return
        self.say(WalkHappened(Deadline(self.session.clock(), left)))
        self.query_one(Input).clear()
        self.query_one(Choices).focus()
        self.turned()

    def action_minutes(self) -> None:
        """Type the minutes."""
        self.query_one(Input).focus()

    def action_list(self) -> None:
        """Go on to the list."""
        self.query_one(Choices).focus()

    def action_no_deadline(self) -> None:
        """Take the deadline away."""
        self.say(WalkHappened(Deadline(self.session.clock())))

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Answer this check."""
        self.dismiss(event.choice)
