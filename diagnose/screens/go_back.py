"""Going back to the record, corrected to the rich side for the day and the fuel: step by step, and then done."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.errors import DiagnoseError
from diagnose.pages import parts
from diagnose.pages.going_back import ANSWERS, DAY, DONE, HEADING, NO_RECORD, going_back
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.choices import Choices
from diagnose.tune.back import GoingBack
from diagnose.tune.needles import LedgerEntry, WentBack


class GoBack(PageScreen[LedgerEntry]):
    """Shows what the hands do; comes to an entry of the ledger when it is done."""

    heading = HEADING

    found: GoingBack | None = None

    def body(self) -> ComposeResult:
        """Lay out the steps, and the two answers."""
        with VerticalScroll(id="text"):
            yield Static(id="told", classes="block")
        yield Choices(parts.choices(ANSWERS), id="choices")

    def on_mount(self) -> None:
        """Let the answers have the keys."""
        self.query_one(Choices).focus()

    def on_screen_resume(self) -> None:
        """Work it out anew: the day may have been noted meanwhile."""
        self._paint()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self._paint()

    def _paint(self) -> None:
        why = NO_RECORD
        try:
            self.found = self.session.going_back(self.engine.name)
        except DiagnoseError as error:
            self.found, why = None, str(error)
        shown: parts.Page = (parts.Line(why, "!", "urgent"),)
        if self.found is not None:
            shown = going_back(self.found, self.noted())
        self.tell(shown)

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Record it, note the day first, or leave it."""
        if event.choice == DAY:
            self.action_want("tune", "day")
        elif event.choice == DONE and self.found is not None:
            set_to = {target.screw: target.depth for target in self.found.targets}
            self.dismiss(WentBack(self.session.clock(), set_to, self.found.because))
        else:
            self.dismiss(None)
