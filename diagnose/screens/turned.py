"""An adjustment that was made by hand, for the ledger: which screw, which way, how far, why, and what came of it."""

from __future__ import annotations

from typing import get_args

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from diagnose.graph.wording import amount
from diagnose.pages.stand import screws
from diagnose.reason.view import Choice
from diagnose.screens.form import SAVE, Form
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.filled import Filled
from diagnose.screens.widgets.pick import Pick
from diagnose.tune.back import HALF
from diagnose.tune.needles import MOST_HOURS, STOP, WAYS, Entry, Result, Turned

HOURS = (HALF, MOST_HOURS)
RESULTS: tuple[Result, ...] = get_args(Result)
BEFORE = (
    "An adjustment is one screw, an hour at the most. Going back to the record is a step of its own: leave this page, "
    "and press b."
)


class TurnedForm(Form[Entry]):
    """Asks for an adjustment that was made; comes to an entry of the ledger."""

    heading = "Which screw did you turn?"

    def body(self) -> ComposeResult:
        """Lay out the form."""
        self.screws = screws(self.engine.variant.needles)
        with VerticalScroll(id="text"):
            yield Static(Content(BEFORE), classes="block")
            yield Static(Content("Which screw?"), classes="ask")
            yield Pick(self.screws, 0, id="screw")
            yield Static(Content("Which way?"), classes="ask")
            yield Pick(WAYS[False], 0, id="way")
            yield Static(Content("How far?"), classes="ask")
            yield Pick([amount(hours) for hours in HOURS], len(HOURS) - 1, id="hours")
            yield Static(Content("What came of it?"), classes="ask")
            yield Pick([result or "not tried yet" for result in RESULTS], 0, id="result")
            yield Static(Content("Why, if you like?"), classes="ask")
            yield Filled("why", "reason")
        yield Static(id="refused")
        yield Choices([Choice(SAVE, "write this down")], id="choices")

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
