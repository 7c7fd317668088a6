"""Where the screws stand: counted from closed, from flush, or measured with a caliper."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Screw
from diagnose.pages.stand import screws
from diagnose.reason.view import Choice
from diagnose.screens.form import SAVE, Form
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.filled import Filled
from diagnose.screens.widgets.pick import Pick
from diagnose.tune import typed
from diagnose.tune.needles import Baseline, Corrected, Entry, Ledger, Settings
from diagnose.tune.typed import Kind

WHAT = ("where they stand now: nothing was turned", "the baseline: the settings to begin from")
KINDS: tuple[tuple[Kind, str, str], ...] = (
    ("closed", "hours out from gently closed", "38, or 3t 2h"),
    ("flush", "hours from where the head is flush", "2, or -2"),
    ("caliper", "mm from the body, with a caliper", "1.25, or -1.25"),
)
LOW_SCREW = ("fuel: richer as it goes out", "air: richer as it goes in")
COUNT = (
    "Engine off and cool, the barrel on its idle stop. Turn a screw in until it just closes, and count. Never force "
    "it. Then set it where it was. You may leave a screw out. Below flush is written with a minus."
)


class SettingForm(Form[Entry]):
    """Asks where the screws stand; comes to an entry of the ledger."""

    heading = "Write down where the screws stand"

    def body(self) -> ComposeResult:
        """Lay out the form."""
        self.ledger = self.read_or(lambda: self.session.ledger(self.engine.name), Ledger())
        self.screws = screws(self.engine.variant.needles)
        with VerticalScroll(id="text"):
            yield Static(Content(COUNT), classes="block")
            yield Static(Content("What do you write down?"), classes="ask")
            yield Pick(WHAT, 0 if self.ledger.baseline else 1, id="what")
            yield Static(Content("How is it counted?"), classes="ask")
            yield Pick([said for _, said, _ in KINDS], 0, id="kind")
            yield Filled("pitch", "thread, mm a turn", "0.5")
            yield Static(Content("Where does each one stand?"), classes="ask")
            for screw in self.screws:
                yield Filled(_id(screw), screw, KINDS[0][2])
            yield Static(Content("What does the low screw let in?"), classes="ask air")
            yield Pick(LOW_SCREW, int(self.ledger.air_screw), id="air")
            yield Static(Content("Why, if you like?"), classes="ask")
            yield Filled("why", "reason")
        yield Static(id="refused")
        yield Choices([Choice(SAVE, "write this down")], id="choices")

    def on_mount(self) -> None:
        """Begin with what it is."""
        self._fit()
        self.query_one("#what").focus()

    def on_pick_picked(self) -> None:
        """Ask only what belongs to the choice."""
        self._fit()

    def _fit(self) -> None:
        kind, _, hint = KINDS[self.chosen("kind")]
        self.query_one("#pitch-line").display = kind == "caliper"
        for screw in self.screws:
            self.query_one(f"#{_id(screw)}-line", Filled).hint_at(hint)
        for one in (*self.query(".air"), self.query_one("#air")):
            one.display = bool(self.chosen("what"))

    def save(self) -> None:
        """Come to the entry, or say why it can't be."""
        kind, pitch = KINDS[self.chosen("kind")][0], self.typed("pitch")
        settings: Settings = {}
        at_fault = ""
        try:
            if kind == "caliper":
                at_fault = "pitch"
                typed.depth("0", kind, pitch)
            for screw in self.screws:
                at_fault = _id(screw)
                if text := self.typed(at_fault):
                    settings[screw] = typed.depth(text, kind, pitch)
        except DiagnoseError as error:
            self.refuse(str(error), at_fault)
            return
        if not settings:
            self.refuse("Nothing is typed. Write down one screw at the least.", _id(self.screws[0]))
            return
        at, why = self.session.clock(), self.typed("why")
        if self.chosen("what"):
            now = self.noted()
            self.dismiss(Baseline(at, settings, now, air_screw=bool(self.chosen("air")), reason=why))
        else:
            self.dismiss(Corrected(at, settings, why))


def _id(screw: Screw) -> str:
    return screw.replace(" ", "-")
