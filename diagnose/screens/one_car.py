"""The flow of a car's page: its walks, what is owed, its notes, and what was written down of it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from diagnose.graph.wording import capital
from diagnose.pages import car as page_of
from diagnose.pages import over_time
from diagnose.pages.hazards import in_full
from diagnose.pages.parts import choices
from diagnose.reason.events import Answered
from diagnose.reason.view import OwedLine
from diagnose.record.engines import Engine
from diagnose.record.notes import as_kept, write_note
from diagnose.screens.asked import Asked
from diagnose.screens.car import CarPage
from diagnose.screens.flow import Flow
from diagnose.screens.listing import Listing
from diagnose.screens.messages import PageDeed, PageWanted, Resumed
from diagnose.screens.page import PageScreen
from diagnose.screens.to_read import ToRead
from diagnose.screens.typed_line import TypedLine
from diagnose.screens.widgets.entries import ListEntry
from diagnose.workshop.car import KnownCar, car, owed_now
from diagnose.workshop.entries import CarEntry, as_typed, entries, put_right, righted, take_back

THE_WALK = PageWanted("walk", "turn")


class OneCar(Flow):
    """Opens a car's page, and does what its keys ask for."""

    def said(self, what: PageDeed, page: PageScreen[Any]) -> None:
        """Do what follows."""
        match what:
            case PageWanted(_, "page"):
                engine = what.engine or self.at.engine
                if engine is None:
                    self.go.tell(page_of.NO_CAR)
                else:
                    self.go.open(CarPage(self.at, engine))
            case PageWanted(_, "note", Engine() as engine):
                self._note(engine, page)
            case PageWanted(_, about, Engine() as engine) if about in ("walk", "tick", "entries", "time"):
                do = {"walk": self._walk, "tick": self._tick, "entries": self._entries, "time": self._over_time}[about]
                found: list[KnownCar] = []
                self.attempt(lambda: found.append(car(self.session, engine.name)), lambda: do(found[0], page))

    def _walk(self, found: KnownCar, _: PageScreen[Any]) -> None:
        """Open the walk that was left, or one of them."""
        left = page_of.walks_left(found, self.session.knowledge)
        if len(left) == 1:
            self.go.say(Resumed(left[0].id))
        elif left:
            self.go.open(
                Asked(self.at, page_of.WHICH_WALK, (), choices(left)), lambda outing: self.go.say(Resumed(outing))
            )

    def _note(self, engine: Engine, page: PageScreen[Any]) -> None:
        form = TypedLine(self.at, engine, page_of.NOTE, as_kept)
        journal = self.session.journal
        self._type(form, lambda text: write_note(journal, engine.name, text, self.session.clock()), page)

    def _type(self, form: TypedLine, do: Callable[[str], object], page: PageScreen[Any]) -> None:
        """Open a form, and do something with what is typed; what is refused there is still to be had."""

        def written() -> None:
            form.forget()
            self.go.stored(page)

        self.go.open(form, lambda text: self.attempt(lambda: do(text), written))

    def _over_time(self, found: KnownCar, _: PageScreen[Any]) -> None:
        """Show where its screws stood after each thing that was done, and the heads."""
        self.go.open(ToRead(self.at, capital(over_time.HEADING), lambda: over_time.as_read(found)))

    # what is owed

    def _tick(self, found: KnownCar, page: PageScreen[Any]) -> None:
        """Choose the walk that it is owed in, where there are several, and tick."""
        left = page_of.walks_left(found, self.session.knowledge)
        if len(left) == 1:
            self._tick_in(left[0].id, page)
        elif left:
            self.go.open(
                Asked(self.at, page_of.WHICH_WALK, (), choices(left)), lambda outing: self._tick_in(outing, page)
            )

    def _tick_in(self, outing: str, page: PageScreen[Any], ticked: str = "") -> None:
        """Choose a look that is owed, and say that it was as it should be; a look at a time.

        `ticked`: the look that was ticked just now, which can be taken back.
        """
        found: list[OwedLine] = []

        def read() -> None:
            self._owed(outing, found, page, ticked)

        self.attempt(lambda: found.extend(owed_now(self.session, outing)), read)

    def _owed(self, outing: str, owed: list[OwedLine], page: PageScreen[Any], ticked: str) -> None:
        if not (owed or ticked):
            self.go.tell(page_of.NOTHING_OWED)
            return
        looks = {one.check: one for one in owed}

        def chosen(check: str) -> None:
            if check == page_of.BACK:
                self.attempt(lambda: self._untick(ticked), lambda: self._unticked(outing, page))
            else:
                self._look(outing, looks[check], page)

        last = self.session.knowledge.checks[ticked].name if ticked else ""
        offered = choices((*page_of.looks_owed(owed), *page_of.untick(last)))
        self.go.open(Asked(self.at, capital(page_of.OWED), page_of.TICK, offered), chosen)

    def _untick(self, check: str) -> None:
        """Take a tick back, if nothing was said after it."""
        walk = self.session.walk
        taken = walk.take_back(self.session.clock()) if walk is not None else None
        if walk is not None and taken is not None:
            last = walk.events[taken.number]
            if isinstance(last, Answered) and last.check == check:
                self.session.record(taken)

    def _unticked(self, outing: str, page: PageScreen[Any]) -> None:
        self.go.stored(page)
        self._tick_in(outing, page)

    def _look(self, outing: str, look: OwedLine, page: PageScreen[Any]) -> None:
        """Put a look, with what is new to beware of; what takes more than a tick is put in its walk."""

        def opened() -> None:
            walk, step = self.session.walk, self.session.step()
            simple = step is not None and step.id == look.check and step.reading is None and step.engine != "running"
            if walk is None or not simple or self.session.stop_first:
                self.go.say(THE_WALK)
                return
            new = self.session.new_cautions(step)
            told = in_full(new, walk.knowledge, walk.variant)
            self.go.open(
                Asked(self.at, capital(look.name), told, choices(page_of.look_owed(look))),
                partial(self._looked, outing, look.check, new, page),
                self._drop,
            )

        self.attempt(lambda: self._put(outing, look.check), opened)

    def _put(self, outing: str, check: str) -> None:
        if self.session.outing != outing:  # going on with it anew would tell its first page again
            self.session.resume(outing)
        self.session.ask(check)

    def _drop(self) -> None:
        self.session.asked = ""

    def _looked(self, outing: str, check: str, new: tuple[str, ...], page: PageScreen[Any], answer: str) -> None:
        self.session.has_read(new)
        walk = self.session.walk
        if walk is None or answer == page_of.OPEN or self.session.due(self.session.step()) != "step":
            self.go.say(THE_WALK)
            return
        healthy = walk.scope.checks[check].healthy

        def ticked() -> None:
            if self.session.due(self.session.step()) == "since":
                self.go.say(THE_WALK)
                return
            self.go.stored(page)
            self._tick_in(outing, page, check)

        self.attempt(lambda: self.session.record(Answered(self.session.clock(), check, healthy)), ticked)

    # what was written down

    def _entries(self, found: KnownCar, page: PageScreen[Any]) -> None:
        """Choose what was written down, and take it back or put it right."""
        listed = entries(found)
        told = [ListEntry(str(number), page_of.entry(one)) for number, one in enumerate(listed)]
        self.go.open(
            Listing(self.at, page_of.ENTRIES, told), lambda number: self._entry(found.engine, listed[int(number)], page)
        )

    def _entry(self, engine: Engine, one: CarEntry, page: PageScreen[Any]) -> None:
        def chosen(answer: str) -> None:
            if answer == page_of.OPEN:
                self.go.say(Resumed(getattr(one, "outing", "")))
            elif answer == page_of.RIGHT:
                form = TypedLine(self.at, engine, page_of.PUT_IT_RIGHT, partial(righted, one), as_typed(one))
                self._type(form, lambda text: put_right(self.session, engine.name, one, text), page)
            else:
                self.attempt(lambda: take_back(self.session, engine.name, one), taken)

        def taken() -> None:
            self.go.tell(page_of.TAKEN_BACK)
            self.go.stored(page)

        self.go.open(Asked(self.at, page_of.entry(one), (), choices(page_of.what_to_do(one))), chosen)
