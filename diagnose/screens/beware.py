"""The cautions that come before a question: read once in full, before anything can be answered."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.pages.hazards import Before, before_page, heading
from diagnose.pages.parts import choices
from diagnose.screens.at_hand import AtHand
from diagnose.screens.messages import Read
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.picked_by import ENTER
from diagnose.screens.widgets.rendered import rendered


class Beware(PageScreen[None]):
    """Shows cautions in full; for what can run away, stopping it comes first."""

    def __init__(self, at: AtHand, cautions: tuple[str, ...], *, stop_first: bool = False) -> None:
        super().__init__(at)
        self.cautions = cautions
        self.stop_first = stop_first
        self.heading = heading(stop_first=stop_first)

    def body(self) -> ComposeResult:
        """Lay out the text, and the one answer."""
        with VerticalScroll(id="text"):
            yield Static(id="cautions", classes="block")
        yield Choices(choices([self._page.answer]), sign=ENTER, id="choices")

    def on_mount(self) -> None:
        """Let one key do: one that answers nothing else, so that pressed twice it does no harm."""
        self.query_one(Choices).focus()
        self.query_one(Choices).highlighted = 0

    def on_resize(self) -> None:
        """Break the lines anew."""
        self.query_one("#cautions", Static).update(rendered(self._page.text, self.size.width - 6))

    @property
    def _page(self) -> Before:
        walk = self.session.walk
        engine = walk.variant if walk is not None else None
        return before_page(self.cautions, self.session.knowledge, engine, stop_first=self.stop_first)

    def on_choices_chosen(self) -> None:
        """Go on."""
        self.say(Read(self.cautions))
