"""The keys that open the tune bench, and what its pages have stored. Each page is imported when it is first opened."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from textual import on

from diagnose.errors import DiagnoseError
from diagnose.screens.messages import CardMade, DayNoted, Entered
from diagnose.screens.storing import Storing
from diagnose.tune.mixture import Conditions

if TYPE_CHECKING:
    from diagnose.record.engines import Engine
    from diagnose.workshop.session import Session


class Tuning(Storing):
    """An app with an engine in hand."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.engine: Engine | None = None

    @on(Entered)
    def _entered(self, message: Entered) -> None:
        self.attempt(lambda: self.session.write(message.engine, message.entry), message.then)

    @on(DayNoted)
    def _day_noted(self, message: DayNoted) -> None:
        day, engine = message.day, message.engine
        self.attempt(lambda: self.session.note_day(day.air, day.fuel, engine, day.elevation), message.then)

    @on(CardMade)
    def _card_made(self, message: CardMade) -> None:
        self.attempt(lambda: self.session.write_card(message.engine, message.card), message.then)

    def noted(self, engine: str) -> Conditions:
        """Return the day and the fuel of an engine; nothing, and why, when what was noted can't be read."""
        try:
            return self.session.conditions(engine)
        except DiagnoseError as error:
            self.notify(str(error), severity="warning", markup=False)
            return Conditions()

    def action_needles(self) -> None:
        """Open the needles of the engine in hand."""
        self.with_engine(self.open_needles)

    def action_day(self) -> None:
        """Open the day, for the engine in hand if there is one."""
        self.open_day(self.engine)

    def with_engine(self, do: Callable[[Engine], None]) -> None:
        """Do something with the engine in hand; ask for one when there is none."""
        if self.engine is not None:
            do(self.engine)
            return
        from diagnose.screens.engine_form import EngineForm

        def made(engine: Engine | None) -> None:
            if engine is not None:
                self.engine = engine
                do(engine)

        self.push_screen(EngineForm(), made)

    def open_needles(self, engine: Engine) -> None:
        """Open the needles of an engine."""
        from diagnose.screens.needles import Needles

        self.push_screen(Needles(engine))

    def open_day(self, engine: Engine | None) -> None:
        """Open the day and the fuel, for an engine or for none."""
        from diagnose.screens.day import DayPage

        self.push_screen(DayPage(engine))

    def open_card(self, engine: Engine) -> None:
        """Open the well card of an engine."""
        from diagnose.screens.well import Well

        self.push_screen(Well(engine))
