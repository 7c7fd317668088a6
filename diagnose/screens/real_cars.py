"""The real cars at the table: each is an engine of the workshop, and its seat opens the walk of that engine."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.pages.dates import date_and_clock
from diagnose.screens.messages import Resumed
from diagnose.screens.practising import Practising
from diagnose.screens.storing import Storing
from diagnose.workshop.session import by_when

if TYPE_CHECKING:
    from diagnose.reason.view import Step
    from diagnose.reason.walk import Walk
    from diagnose.record.engines import Engine

OPEN, NEW = "open/", "new/"


class RealCars(Practising, Storing):
    """An app with a table at which real cars can stand."""

    @property
    def floor(self) -> int:
        """How many pages stay below those of a walk: home, and the table when the walk was opened from there."""
        if self._table is None:
            return 1  # nobody has practised: the table need not be imported to know that it is not there
        from diagnose.screens.practice import PracticeBench

        return 2 if any(isinstance(page, PracticeBench) for page in self.screen_stack[:2]) else 1

    def seat_car(self) -> None:
        """Choose an engine, or name a new one, and give its car a seat."""
        from diagnose.practice.table import Seat
        from diagnose.screens.engines import Engines

        def chosen(engine: Engine | None) -> None:
            if engine is not None and self.change_table(lambda table: table.joined(Seat(engine=engine.name))):
                self._seated()

        self.push_screen(Engines(), chosen)

    def open_walk(self) -> None:
        """Open the walk of the real car whose turn it is; or choose one that was left, or a symptom."""
        from diagnose.screens.listing import ListEntry, Listing

        seat = self.table.seat
        if seat is None or not seat.engine:
            return
        if seat.outing:
            self.post_message(Resumed(seat.outing))
            return
        left = [one for one in self.session.open_outings() if one.walk.started.engine == seat.engine]
        entries = [ListEntry("", "not finished")] if left else []
        for one in left:
            view = one.walk.view(self.session.clock())
            told = f"{view.symptom_name} · step {view.number} · {date_and_clock(one.last_at)}"
            entries.append(ListEntry(OPEN + one.id, f"→ go on: {told}"))
        for when, symptoms in by_when(self.session.knowledge):
            entries += [ListEntry("", when), *(ListEntry(NEW + key, symptom.name) for key, symptom in symptoms)]

        def chosen(found: str | None) -> None:
            if found is not None and found.startswith(OPEN):
                self.post_message(Resumed(found.removeprefix(OPEN)))
            elif found is not None:
                self.attempt(lambda: self._start(found.removeprefix(NEW), seat.engine), self._started)

        self.push_screen(Listing(f"{seat.engine}: what is it doing?", entries), chosen)

    def _start(self, symptom: str, name: str) -> None:
        engine = self.session.engine(name)
        self.session.start(symptom, engine, engine.variant)

    def _started(self) -> None:
        self.post_message(Resumed(self.session.outing))

    def may_show(self, walk: Walk, step: Step | None) -> bool:
        """Note at the table where the walk of its real car is; go back there when that step has to wait."""
        if self.floor == 1:
            return True
        view = walk.view(self.session.clock())
        runs = step is not None and walk.scope.runs(step.state)
        place, outing = f"{view.symptom_name} · step {view.number}", self.session.outing
        if view.verdict is not None:
            place, outing = f"{view.symptom_name} · {view.verdict.outcome}", ""
        self.change_table(lambda table: table.walked(outing, place, runs=runs))
        if self.table.seat is None or not self.table.seat.waits:
            return True
        while len(self.screen_stack) > self.floor:
            self.pop_screen()
        self.show_practice()
        return False
