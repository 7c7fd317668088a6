"""The tune is good: it is kept with its day, its fuel and its plug, as the record to go back to."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.pages.going_back import DAY
from diagnose.pages.good_tune import FORM, good_tune
from diagnose.pages.parts import choices
from diagnose.screens.form import FormScreen
from diagnose.screens.widgets.asking import asking
from diagnose.screens.widgets.choices import Choices
from diagnose.tune.needles import Good, Ledger, LedgerEntry


class GoodTune(FormScreen[LedgerEntry]):
    """Asks for the plug; comes to an entry of the ledger."""

    heading = FORM.heading

    def body(self) -> ComposeResult:
        """Lay out what is kept, and the plug."""
        self.ledger = self.read_or(lambda: self.session.ledger(self.engine.name), Ledger())
        with VerticalScroll(id="text"):
            yield Static(id="kept", classes="block")
            yield from asking(FORM.asked, {"plug": self.ledger.last_good.plug if self.ledger.last_good else ""})
        yield Static(id="refused")
        yield Choices(choices(FORM.answers), id="choices")

    def on_mount(self) -> None:
        """Let the answers have the keys."""
        self.query_one(Choices).focus()

    def on_screen_resume(self) -> None:
        """Show the day that was noted meanwhile."""
        self._paint()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self._paint()

    def _paint(self) -> None:
        page = good_tune(self.ledger, self.engine.variant.needles, self.noted())
        self.tell(page, "kept")

    def choose(self, choice: str) -> None:
        """Keep it, note the day first, or leave it."""
        if choice == DAY:
            self.action_want("tune", "day")
        else:
            super().choose(choice)

    def save(self) -> None:
        """Come to the entry."""
        self.dismiss(Good(self.session.clock(), self.noted(), self.typed("plug")))
