"""Going back to the record, corrected to the rich side for the day and the fuel: step by step, and then done."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.errors import DiagnoseError
from diagnose.pages import parts
from diagnose.pages.going_back import ASKED_WHICH, DAY, DONE, HEADING, NO_RECORD, OTHER, answers, going_back, tunes
from diagnose.record.engines import Engine
from diagnose.screens.at_hand import AtHand
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.choices import Choices
from diagnose.tune.back import GoingBack
from diagnose.tune.needles import Ledger, LedgerEntry, Tune, WentBack


class GoBack(PageScreen[LedgerEntry]):
    """Shows what the hands do; comes to an entry of the ledger when it is done."""

    heading = HEADING

    found: GoingBack | None = None
    choosing = False

    def __init__(self, at: AtHand, engine: Engine, to: Tune | None = None) -> None:
        super().__init__(at, engine)
        self.to = to
        """The tune that was chosen; None for the record."""

    def body(self) -> ComposeResult:
        """Lay out the steps, and the answers."""
        self.ledger = self.read_or(lambda: self.session.ledger(self.engine.name), Ledger())
        with VerticalScroll(id="text"):
            yield Static(id="told", classes="block")
        yield Choices(parts.choices(answers(self.ledger)), id="choices")

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
        if self.choosing:
            self.tell((parts.Heading(ASKED_WHICH),))
            return
        why = NO_RECORD
        try:
            self.found = self.session.going_back(self.engine.name, self.to)
        except DiagnoseError as error:
            self.found, why = None, str(error)
        shown: parts.Page = (parts.Line(why, "!", "urgent"),)
        if self.found is not None:
            shown = going_back(self.found, self.noted())
        self.tell(shown)

    def _choose(self, which: str = "") -> None:
        """Offer the tunes that there are; with one of them, go back to that."""
        self.choosing = not which
        if which:
            self.to = self.ledger.kept[int(which)]
        offered = tunes(self.ledger) if self.choosing else answers(self.ledger)
        self.query_one(Choices).show(parts.choices(offered))
        self._paint()
        self.turned()

    def action_leave(self) -> None:
        """Leave the choice of a tune, or the page."""
        if self.choosing:
            self.choosing = False
            self.query_one(Choices).show(parts.choices(answers(self.ledger)))
            self._paint()
        else:
            super().action_leave()

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Record it, choose another tune, note the day first, or leave it."""
        if self.choosing:
            self._choose(event.choice)
        elif event.choice == OTHER:
            self._choose()
        elif event.choice == DAY:
            self.action_want("tune", "day")
        elif event.choice == DONE and self.found is not None:
            set_to = {target.screw: target.depth for target in self.found.targets}
            self.dismiss(WentBack(self.session.clock(), set_to, self.found.because))
        else:
            self.dismiss(None)
