"""The flow of the real cars at the table: each is an engine of the workshop, and its seat opens the walk of it."""

from __future__ import annotations

from typing import Any

from diagnose.pages.home import GO_ON, HEADING, NOT_FINISHED, by_when, open_walk
from diagnose.practice.table import Seat
from diagnose.record.engines import Engine
from diagnose.screens.engines import Engines
from diagnose.screens.flow import Flow
from diagnose.screens.listing import Listing
from diagnose.screens.messages import PageDeed, PageWanted, Resumed
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.entries import ListEntry

OPEN, NEW = "open/", "new/"


class RealCars(Flow):
    """Seats real cars, and opens their walks."""

    def said(self, what: PageDeed, page: PageScreen[Any]) -> None:  # noqa: ARG002 - the page stays as it is
        """Do what follows."""
        seat = self.at.table.seat
        match what:
            case PageWanted(_, "real"):
                self.go.open(Engines(self.at), self._seat)
            case PageWanted(_, "walk") if seat is not None and seat.outing:
                self.go.say(Resumed(seat.outing))
            case PageWanted(_, "walk") if seat is not None and seat.engine:
                self._choose_walk(seat.engine)

    def _seat(self, engine: Engine) -> None:
        """Give the car of an engine a seat."""
        if self.change_table(lambda table: table.joined(Seat(engine=engine.name))):
            self.go.say(PageWanted("practise", "seated"))

    def _choose_walk(self, engine: str) -> None:
        """Choose a walk that was left, or a symptom."""
        left = [one for one in self.session.open_outings() if one.walk.started.engine == engine]
        entries = [ListEntry("", NOT_FINISHED)] if left else []
        for one in left:
            view = one.walk.view(self.session.clock())
            told = open_walk(view, one.last_at, engine=False)
            entries.append(ListEntry(OPEN + one.id, f"→ {GO_ON}{told}"))
        for when, symptoms in by_when(self.session.knowledge):
            entries += [ListEntry("", when), *(ListEntry(NEW + key, symptom.name) for key, symptom in symptoms)]

        def chosen(found: str) -> None:
            if found.startswith(OPEN):
                self.go.say(Resumed(found.removeprefix(OPEN)))
            else:
                self.attempt(lambda: self._start(found.removeprefix(NEW), engine), self._started)

        self.go.open(Listing(self.at, f"{engine}: {HEADING[:1].lower()}{HEADING[1:]}", entries), chosen)

    def _start(self, symptom: str, name: str) -> None:
        engine = self.session.engine(name)
        self.session.start(symptom, engine, engine.variant)

    def _started(self) -> None:
        self.go.say(Resumed(self.session.outing))
