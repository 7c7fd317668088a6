"""Three questions before any check. Each may be skipped, or all of them with one key."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.pages.history import HEADING, history_page
from diagnose.pages.parts import choices
from diagnose.reason.events import SKIPPED, Told
from diagnose.screens.messages import Happened
from diagnose.screens.page import Page
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.rendered import rendered


class History(Page[None]):
    """Shows the history question that is due; `show` repaints it for the next one."""

    heading = HEADING
    BINDINGS: ClassVar[list[BindingType]] = [
        ("n", "skip_all", "skip them all"),
        ("u", "want('walk', 'take back')", "take back"),
    ]

    def body(self) -> ComposeResult:
        """Lay out the question and its answers."""
        with VerticalScroll(id="text"):
            yield Static(id="count")
            yield Static(id="ask")
        yield Choices(id="choices")

    def on_mount(self) -> None:
        """Ask the first one."""
        self.query_one(Choices).focus()
        self._paint()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self._paint()

    def show(self) -> None:
        """Put the question that is due."""
        self._paint()
        self.turned()

    def _paint(self) -> None:
        walk = self.session.walk
        names = self.session.untold() if walk else ()
        if walk is None or not names:
            return
        page, width = history_page(walk, names), self.size.width - 6
        self.query_one("#count", Static).update(rendered([page.which], width))
        self.query_one("#ask", Static).update(rendered([page.asked], width))
        self.query_one(Choices).show(choices(page.answers))

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Tell the answer."""
        self._tell(event.choice, 1)

    def action_skip_all(self) -> None:
        """Skip what is left."""
        self._tell(SKIPPED, None)

    def _tell(self, answer: str, count: int | None) -> None:
        walk = self.session.walk
        for name in self.session.untold()[:count] if walk else ():
            self.say(Happened(Told(self.session.clock(), name, answer)))
