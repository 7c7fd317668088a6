"""Something is wrong: what to do now. It asks nothing."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.pages.hazards import URGENT, urgent
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.rendered import rendered
from diagnose.screens.widgets.text import hints


class Wrong(PageScreen[None]):
    """Shows what to do now about each hazard, stopping it first. A digit goes to one of them."""

    heading = URGENT

    def body(self) -> ComposeResult:
        """Show every caution that says what to do now, in the order of the knowledge."""
        walk = self.session.walk
        self.urgent = urgent(self.session.knowledge, walk.variant if walk is not None else None)
        yield Static(id="index")
        with VerticalScroll(id="text"):
            for number in range(len(self.urgent)):
                yield Static(id=f"now-{number + 1}", classes="block")

    def on_mount(self) -> None:
        """Show the text, and let the arrows scroll it."""
        self.query_one("#text").focus()

    def on_resize(self) -> None:
        """Break the lines anew."""
        width = self.size.width - 6
        index = ((str(n), name, f"screen.digit('{n}')") for n, name in enumerate(self.urgent, 1))
        self.query_one("#index", Static).update(hints(index, self.size.width - 4))
        for number, page in enumerate(self.urgent.values(), 1):
            self.query_one(f"#now-{number}", Static).update(rendered(page, width))

    def action_digit(self, digit: str) -> None:
        """Scroll to one of them."""
        for found in self.query(f"#now-{digit}"):
            found.scroll_visible(top=True, animate=False)
