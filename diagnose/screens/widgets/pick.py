"""One of a few, chosen in place: the chosen one carries a tick, so that colour is not needed."""

from __future__ import annotations

from collections.abc import Sequence

from textual.binding import Binding
from textual.content import Content
from textual.message import Message
from textual.widgets import OptionList
from textual.widgets.option_list import Option


class Pick(OptionList):
    """Shows a few options; Enter, a tap or a space chooses one. `chosen` counts from 0."""

    BINDINGS = [Binding("space", "select", show=False)]

    class Picked(Message):
        """One was chosen."""

    def __init__(self, options: Sequence[str], chosen: int, *, id: str) -> None:  # noqa: A002 - Textual's name
        super().__init__(id=id, markup=False)
        self._said = tuple(options)
        self.chosen = chosen

    def on_mount(self) -> None:
        """Show the options."""
        self._paint()

    def choose(self, number: int) -> None:
        """Take this one as chosen; nobody is told."""
        self.chosen = number
        self._paint()

    def offer(self, options: Sequence[str]) -> None:
        """Offer others in the place of these, as many as there were; the same place stays chosen."""
        if tuple(options) != self._said:
            self._said = tuple(options)
            self._paint()

    def _paint(self) -> None:
        self.set_options(
            Option(Content(f"{'✓' if number == self.chosen else ' '} {said}")) for number, said in enumerate(self._said)
        )

    def on_focus(self) -> None:
        """Begin at the chosen one."""
        self.highlighted = self.chosen

    def on_blur(self) -> None:
        """Leave no mark but the tick."""
        self.highlighted = None

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Choose it."""
        event.stop()
        self.chosen = event.option_index
        self._paint()
        self.highlighted = self.chosen
        self.post_message(self.Picked())
