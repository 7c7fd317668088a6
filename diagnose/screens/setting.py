"""Where the screws stand: counted from closed, from flush, or measured with a caliper."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from diagnose.errors import DiagnoseError
from diagnose.pages.engine import field
from diagnose.pages.parts import choices
from diagnose.pages.setting import EMPTY, KINDS, setting
from diagnose.pages.stand import screws
from diagnose.record.engines import Engine
from diagnose.screens.at_hand import AtHand
from diagnose.screens.form import FormScreen
from diagnose.screens.widgets.asking import asking
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.filled import Filled
from diagnose.tune import typed
from diagnose.tune.needles import Baseline, Corrected, Ledger, LedgerEntry, Settings


class SettingForm(FormScreen[LedgerEntry]):
    """Asks where the screws stand; comes to an entry of the ledger."""

    def __init__(self, at: AtHand, engine: Engine | None = None) -> None:
        super().__init__(at, engine)
        self.screws = screws(self.engine.variant.needles)
        self.page = setting(self.screws)
        self.heading = self.page.heading

    def body(self) -> ComposeResult:
        """Lay out the form."""
        self.ledger = self.read_or(lambda: self.session.ledger(self.engine.name), Ledger())
        with VerticalScroll(id="text"):
            picked = {"what": 0 if self.ledger.baseline else 1, "air": int(self.ledger.air_screw)}
            yield from asking(self.page.asked, chosen=picked)
        yield Static(id="refused")
        yield Choices(choices(self.page.answers), id="choices")

    def on_mount(self) -> None:
        """Begin with what it is."""
        self._fit()
        self.query_one("#what").focus()

    def on_pick_picked(self) -> None:
        """Ask only what belongs to the choice."""
        self._fit()

    def _fit(self) -> None:
        kind, (_, hint) = tuple(KINDS.items())[self.chosen("kind")]
        self.query_one("#pitch-line").display = kind == "caliper"
        for screw in self.screws:
            self.query_one(f"#{field(screw)}-line", Filled).hint_at(hint)
        for one in (*self.query(".air"), self.query_one("#air")):
            one.display = bool(self.chosen("what"))

    def save(self) -> None:
        """Come to the entry, or say why it can't be."""
        kind, pitch = tuple(KINDS)[self.chosen("kind")], self.typed("pitch")
        settings: Settings = {}
        at_fault = ""
        try:
            if kind == "caliper":
                at_fault = "pitch"
                typed.depth("0", kind, pitch)
            for screw in self.screws:
                at_fault = field(screw)
                if text := self.typed(at_fault):
                    settings[screw] = typed.depth(text, kind, pitch)
        except DiagnoseError as error:
            self.refuse(str(error), at_fault)
            return
        if not settings:
            self.refuse(EMPTY, field(self.screws[0]))
            return
        at, why = self.session.clock(), self.typed("why")
        if self.chosen("what"):
            now = self.noted()
            self.dismiss(Baseline(at, settings, now, air_screw=bool(self.chosen("air")), reason=why))
        else:
            self.dismiss(Corrected(at, settings, why))
