"""The flow of the tune: the engines, their ledgers, the day and the well card."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from diagnose.record.engines import Engine
from diagnose.screens.at_hand import AtHand
from diagnose.screens.day import DayPage
from diagnose.screens.engine_form import EngineForm
from diagnose.screens.engines import Engines
from diagnose.screens.flow import Flow
from diagnose.screens.form import FormScreen
from diagnose.screens.go_back import GoBack
from diagnose.screens.good import GoodTune
from diagnose.screens.heat import HeadReading
from diagnose.screens.messages import CardMade, DayNoted, PageDeed, PageWanted, TuneChosen, WindowChosen
from diagnose.screens.needles import Needles
from diagnose.screens.own_window import OwnWindow
from diagnose.screens.page import PageScreen
from diagnose.screens.setting import SettingForm
from diagnose.screens.slope import OwnSlope
from diagnose.screens.turned import TurnedForm
from diagnose.screens.well import Well
from diagnose.tune.needles import LedgerEntry

ABOUT: dict[str, Callable[[AtHand, Engine], PageScreen[None]]] = {
    "needles": Needles,
    "day": DayPage,
    "card": Well,
    "heat": HeadReading,
    "window": OwnWindow,
    "slope": OwnSlope,
}
"""Pages about an engine."""
FORMS: dict[str, Callable[[AtHand, Engine], PageScreen[LedgerEntry]]] = {
    "record": SettingForm,
    "turned": TurnedForm,
    "good": GoodTune,
    "back": GoBack,
}
"""Pages that come to an entry of its ledger."""


class Tuning(Flow):
    """Opens pages about an engine, and stores what they come to."""

    def said(self, what: PageDeed, page: PageScreen[Any]) -> None:
        """Do what follows."""
        then = partial(self.go.stored, page)
        match what:
            case DayNoted(day, name):
                self.attempt(lambda: self.session.note_day(day.air, day.fuel, name, day.elevation), then)
            case CardMade(name, card):
                self.attempt(lambda: self.session.write_card(name, card), then)
            case WindowChosen(name, window):
                self.attempt(lambda: self.session.write_window(name, window), then)
            case TuneChosen(engine, tune):
                self._fill(GoBack(self.at, engine, tune), engine, then)
            case PageWanted(_, about, Engine() as engine) if about in ABOUT:
                self.go.open(ABOUT[about](self.at, engine))
            case PageWanted(_, form, Engine() as engine) if form in FORMS:
                self._fill(FORMS[form](self.at, engine), engine, then)
            case PageWanted(_, "day"):
                self.go.open(DayPage(self.at, None))
            case PageWanted(_, "needles"):
                self.go.open(EngineForm(self.at), self._made)
            case PageWanted(_, "engines"):
                self.go.open(Engines(self.at), lambda engine: self._take(engine, page))
            case PageWanted(_, "new engine"):
                self.go.open(EngineForm(self.at), page.dismiss)

    def _fill(self, form: PageScreen[LedgerEntry], engine: Engine, then: Callable[[], object]) -> None:
        """Open a form, and write what it comes to into the ledger; what is refused there is still to be had."""

        def written() -> None:
            if isinstance(form, FormScreen):
                form.forget()
            then()

        self.go.open(form, lambda entry: self.attempt(lambda: self.session.write(engine.name, entry), written))

    def _made(self, engine: Engine) -> None:
        """Take an engine that was asked for in hand, and open its needles."""
        self.at.engine = engine
        self.go.open(Needles(self.at, engine))

    def _take(self, engine: Engine, page: PageScreen[Any]) -> None:
        """Take an engine in hand."""
        self.at.engine = engine
        page.show()
