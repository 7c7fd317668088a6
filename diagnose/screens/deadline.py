"""Time: how many minutes there are, what is owed, the moment to close the car up, and the last word."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.widgets import Input, Static

from diagnose.errors import DiagnoseError
from diagnose.reason.events import Deadline
from diagnose.reason.last_word import WORDS
from diagnose.reason.view import Choice, View
from diagnose.screens.messages import Happened
from diagnose.screens.page import Page
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.field import Field
from diagnose.screens.widgets.text import capital, clock, hung, lines, minutes
from diagnose.tune.quantity import read

EVERY = 15.0
"""Seconds between looks at the clock."""


class Time(Page[str]):
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
            yield Static(Content("minutes until you must be there: "), id="unit")
            yield Field("number")
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
        view, width = self._view, self.size.width - 6
        told, words = "Say how many minutes there are, and the list shows what finds most in them.", Content("")
        if view.deadline is not None:
            told = f"{minutes(view.deadline)} to go. " if view.deadline > 0 else "The time is up. "
            left = view.close_up or 0.0
            at = clock(self.session.clock() + left * 60)
            told += f"Close the car up in {minutes(left)}, at {at}." if left > 0 else "Close the car up now."
            shown = [_word(one, chosen=one == view.last_word) for one in WORDS]
            words = lines([*shown, hung("", capital(view.last_word_because), width)])
        owed = "quickest gain first:" if view.owed else "Nothing is owed that fits."
        self.query_one("#told", Static).update(lines([hung("", told, width), hung("", owed, width, "bold $primary")]))
        self.query_one("#words", Static).update(words)
        self.query_one(Choices).show([Choice(one.check, f"{one.name}, {minutes(one.minutes)}") for one in view.owed])

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Set the deadline."""
        try:
            left = read(event.value, "min")
        except DiagnoseError as error:
            self.notify(str(error), markup=False)
            return
        self.post_message(Happened(Deadline(self.session.clock(), left)))
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
        self.post_message(Happened(Deadline(self.session.clock())))

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Answer this check."""
        self.dismiss(event.choice)


def _word(word: str, *, chosen: bool) -> Content:
    return Content.styled(f"{'→' if chosen else ' '} {word}", "bold" if chosen else "$secondary")
