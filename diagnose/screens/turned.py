"""An adjustment that was made by hand, for the ledger: which screw, which way, how far, why, and what came of it."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.pages.parts import choices
from diagnose.pages.setting import HOURS, RESULTS, turned
from diagnose.pages.stand import screws
from diagnose.record.engines import Engine
from diagnose.screens.at_hand import AtHand
from diagnose.screens.form import FormScreen
from diagnose.screens.widgets.asking import asking
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.pick import Pick
from diagnose.tune.needles import STOP, WAYS, LedgerEntry, Turned

BACK = "leave this page, and press b."


class TurnedForm(FormScreen[LedgerEntry]):
    """Asks for an adjustment that was made; comes to an entry of the ledger."""

    def __init__(self, at: AtHand, engine: Engine | None = None) -> None:
        super().__init__(at, engine)
        self.screws = screws(self.engine.variant.needles)
        self.page = turned(self.screws, BACK)
        self.heading = self.page.heading

    def body(self) -> ComposeResult:
        """Lay out the form."""
        with VerticalScroll(id="text"):
            yield from asking(self.page.asked, chosen={"hours": len(HOURS) - 1})
        yield Static(id="refused")
        yield Choices(choices(self.page.answers), id="choices")

    def on_mount(self) -> None:
        """Begin with the screw."""
        self.query_one("#screw").focus()

    def on_pick_picked(self) -> None:
        """Offer the ways of the chosen screw: the idle stop goes in and out."""
        self.query_one("#way", Pick).offer(WAYS[self.screws[self.chosen("screw")] == STOP])

    def save(self) -> None:
        """Come to the entry."""
        screw = self.screws[self.chosen("screw")]
        way = WAYS[screw == STOP][self.chosen("way")]
        hours, result = HOURS[self.chosen("hours")], RESULTS[self.chosen("result")]
        self.dismiss(Turned(self.session.clock(), screw, way, hours, reason=self.typed("why"), result=result))
