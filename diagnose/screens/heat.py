"""What is behind an infrared reading of the head: the range for its surface, and what the number can't say."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.errors import DiagnoseError
from diagnose.pages import parts
from diagnose.pages.head_reading import FORM, SURFACES, head_reading
from diagnose.screens.form import FormScreen
from diagnose.screens.widgets.asking import asking
from diagnose.screens.widgets.choices import Choices
from diagnose.tune import typed
from diagnose.tune.heat import AROUND


class HeadReading(FormScreen[None]):
    """Asks for the reading and the surface, and says what the head may really have. Nothing is stored."""

    heading = FORM.heading

    keeps = False
    said: parts.Page = ()

    def body(self) -> ComposeResult:
        """Lay out the form, and what it comes to below it."""
        known = typed.as_typed(self.noted().air, None)
        with VerticalScroll(id="text"):
            yield from asking(FORM.asked, {"around": known.temperature})
            yield Static(id="told", classes="block")
        yield Static(id="refused")
        yield Choices(parts.choices(FORM.answers), id="choices")

    def on_mount(self) -> None:
        """Begin with the reading."""
        self.query_one("#shown").focus()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self._paint()

    def on_pick_picked(self) -> None:
        """Say it anew for another surface, once there is a reading."""
        if self.said:
            self.action_save()

    def save(self) -> None:
        """Say what is behind the reading, or why it can't be."""
        field = "shown"
        try:
            shown = typed.head(self.typed(field))
            field = "around"
            around = typed.around(text) if (text := self.typed(field)) else AROUND
        except DiagnoseError as error:
            self.refuse(str(error), field)
            return
        self.said = head_reading(tuple(SURFACES)[self.chosen("surface")], shown, around)
        self._paint()

    def _paint(self) -> None:
        self.tell((parts.Gap(), *self.said))
