"""Something is wrong: it asks which, one line each, and shows what to do now about that one alone."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.pages.hazards import ANOTHER, URGENT, WHICH, urgent
from diagnose.pages.parts import AnswerPart, choices
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.rendered import rendered
from diagnose.screens.widgets.text import plain


class Wrong(PageScreen[None]):
    """Lists what can be wrong, then shows one of them."""

    heading = WHICH

    def body(self) -> ComposeResult:
        """List every hazard that says what to do now, in the order of the knowledge."""
        walk = self.session.walk
        self.urgent = urgent(self.session.knowledge, walk.variant if walk is not None else None)
        self.shown = ""
        with VerticalScroll(id="text"):
            yield Static(id="now", classes="block")
        yield Choices(id="choices")

    def on_mount(self) -> None:
        """Ask which."""
        self._put()

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Show one, or ask again."""
        self.shown = event.choice if event.choice in self.urgent else ""
        self._put()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self._put()

    def _put(self) -> None:
        known = self.session.knowledge.cautions
        which = [AnswerPart(name, known[name].name) for name in self.urgent]
        self.query_one("#heading", Static).update(plain(URGENT if self.shown else WHICH))
        self.query_one("#text").display = bool(self.shown)
        self.query_one("#now", Static).update(rendered(self.urgent.get(self.shown, ()), self.size.width - 6))
        shown = self.query_one(Choices)
        shown.show(choices([ANOTHER] if self.shown else which), width=self.size.width)
        (self.query_one("#text") if self.shown else shown).focus()
