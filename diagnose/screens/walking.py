"""The flow of a walk: it stores what happens, and shows the page that is due."""

from __future__ import annotations

import gc
from collections.abc import Callable
from typing import Any

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Variant
from diagnose.pages import cars as all_cars
from diagnose.pages.engine import NONE_YET
from diagnose.pages.parts import choices
from diagnose.pages.round import round_page
from diagnose.reason import events as ev
from diagnose.reason.rather import rather
from diagnose.reason.steps import LOST
from diagnose.reason.story import only_just_got
from diagnose.reason.view import Step
from diagnose.reason.walk import Walk
from diagnose.record.engines import Engine
from diagnose.screens.asked import Asked
from diagnose.screens.at_hand import AtHand
from diagnose.screens.bench import Bench
from diagnose.screens.beware import Beware
from diagnose.screens.deadline import Time
from diagnose.screens.end import End
from diagnose.screens.engine_form import EngineForm
from diagnose.screens.first_day import FirstDay
from diagnose.screens.flow import Flow
from diagnose.screens.head_after import HeadAfter
from diagnose.screens.history import History
from diagnose.screens.messages import Closed, PageDeed, PageWanted, Picked, Read, Readied, Resumed, Saw, WalkHappened
from diagnose.screens.navigator import Navigator
from diagnose.screens.page import HELD, PageScreen
from diagnose.screens.ready import Ready
from diagnose.screens.round import RoundList, has_room
from diagnose.screens.seeing import Seeing
from diagnose.screens.since import Since
from diagnose.screens.take_back import TakeBack
from diagnose.screens.with_mate import WithMate
from diagnose.workshop.cars import cars
from diagnose.workshop.session import OWED_AGAIN

PAUSE = 2.0
"""Seconds after an answer in which memory is not collected: most people read for longer."""


class Walking(Flow):
    """Moves the walk on."""

    def __init__(self, at: AtHand, go: Navigator) -> None:
        super().__init__(at, go)
        self.hurried = False
        """True when the step was chosen from the list of what is owed: answering it goes back there."""
        self.by_list = False
        """True while what is looked at in one go is ticked on its list, round by round."""
        self.seeing = Seeing(at, go, self._store, self._turn)
        self.mate = WithMate(at, go, self._follow, self._in_sight)
        self.stop_pause: Callable[[], None] = lambda: None
        """Stops the pause in which a person reads."""

    def said(self, what: PageDeed, page: PageScreen[Any]) -> None:
        """Do what follows."""
        match what:
            case WalkHappened(event):
                self._store(event)
            case Picked(symptom):
                self._begin(symptom)
            case Saw(check):
                self.seeing.at_home(check, self._begin)
            case Resumed(outing):
                self._resume(outing)
            case PageWanted(_, "cars"):
                self._choose_car()
            case Closed(outing, unread):
                self.attempt(lambda: self._close(outing, unread=unread), lambda: self.go.stored(page))
            case Read(cautions):
                self.session.has_read(cautions)
                self._go_on()
            case Readied(name):
                self.session.has_readied(name)
                self._go_on()
            case PageWanted(_, "own step"):
                self._drop_asked()
                self._turn()
            case PageWanted(_, "turn"):
                self._turn()
            case PageWanted(_, "take back"):
                self.go.open(TakeBack(self.at), lambda number: self._store(ev.Retracted(self.session.clock(), number)))
            case PageWanted(_, "time"):
                self._show_time()
            case PageWanted(_, "list"):
                self.by_list = True
                self._go_on()
            case PageWanted(_, "mate"):
                self.mate.show()
            case PageWanted(_, "another"):
                self.seeing.on_the_walk()

    def _begin(self, symptom: str, seen: ev.Answered | None = None) -> None:
        if self.at.engine is None and self.at.first_day:
            self._begin_with(symptom, Engine("", Variant()), seen)  # a newcomer can't know: what is taken is said
        elif self.at.engine is None:
            self.go.open(EngineForm(self.at, first=True), lambda made: self._begin_with(symptom, made, seen))
        else:
            self._begin_with(symptom, self.at.engine, seen)

    def _begin_with(self, symptom: str, engine: Engine, seen: ev.Answered | None) -> None:
        self.at.engine = engine if engine.name else None
        self.hurried = False

        def begun() -> None:
            if self.session.walk is not None and self.session.walk.started.found:
                self.go.say(PageWanted("lead", "found"))
            if seen is not None:
                self._store(seen)
            else:
                self._turn()

        led = self.at.first_day
        self.attempt(lambda: self.session.start(symptom, self.at.engine, engine.variant, led=led), begun)

    def _resume(self, outing: str) -> None:
        self.hurried = False

        def opened() -> None:
            self._turn()
            if not self._at_table:  # from there one turns to it every few minutes
                self.go.say(PageWanted("lead", "coming back"))
            if self.session.new_day:
                self.go.tell(OWED_AGAIN)

        self.attempt(lambda: self.session.resume(outing), opened)

    def _choose_car(self) -> None:
        """Go to another car: its open walk, or home with its engine in hand."""
        if not (listed := cars(self.session)):
            self.go.tell(NONE_YET)
            return
        by_name = {one.engine.name: one for one in listed}

        def chosen(name: str) -> None:
            car = by_name[name]
            self.at.engine = car.engine
            if car.outing is None:
                self.go.clear()
            else:
                self._resume(car.outing.id)

        offered = choices(all_cars.answers(listed, self.session.clock()))
        self.go.open(Asked(self.at, all_cars.HEADING, (), offered, cars=True), chosen)

    def _close(self, outing: str, *, unread: bool) -> None:
        if unread:
            self.session.put_away(outing)
            return
        self.session.resume(outing)
        self.session.record(ev.Ended(self.session.clock()))

    def _store(self, event: ev.Event) -> None:
        self.stop_pause()
        self.stop_pause = self.go.after(PAUSE, gc.collect)
        before = self.session.walk.symptom if self.session.walk is not None else ""

        def stored() -> None:
            self.mate.answered()
            page = self.go.page
            if isinstance(page, Time) or (isinstance(page, RoundList) and self._on_a_list()):
                page.show()
                return
            hurried = False
            if not isinstance(event, ev.Happened) and self.session.due(self.session.step()) != "since":
                hurried, self.hurried = self.hurried, False
            if hurried:
                self._turn()
                if isinstance(self.go.page, Bench):
                    self._show_time()
            else:
                self._go_on()
            self._lead_on(event, before)

        self.attempt(lambda: self.session.record(event), stored)

    def _lead_on(self, event: ev.Event, before: str) -> None:
        """Name a person after looks that could not be told; say that it is another symptom, right after the answer."""
        walk = self.session.walk
        if walk is not None and isinstance(event, ev.Told) and not self.at.first_day and only_just_got(event):
            self.go.say(PageWanted("lead", "offer"))
            return
        if walk is None or walk.verdict() is not None or not isinstance(event, ev.Answered):
            return
        if event.answer == ev.CANT_TELL and walk.state.lost == LOST:
            self.go.say(PageWanted("lead", "person"))
        elif rather(walk.scope, walk.state, walk.symptom, just_now=True):
            self.go.say(PageWanted("lead", "rather"))
        elif before != walk.symptom:
            self.go.say(PageWanted("lead", "led on"))

    def _go_on(self) -> None:
        """Show the page that the walk is at, and the list that its step stands on, for who ticks there."""
        by_list = self.by_list and not self.at.first_day
        self._turn(in_place=by_list and self._on_a_list(at_last=True))
        if by_list:
            self._show_round()

    def _follow(self) -> None:
        """Show where the walk is, after somebody else has moved it on."""
        page, walk, step = self.go.page, self.session.walk, self.session.step()
        if isinstance(page, (Bench, FirstDay)) and walk is not None and step is not None and page.is_at(step):
            page.look_again(walk.view(self.session.clock()), step)  # what is typed there stays
            return
        page.hold(HELD)
        if isinstance(page, Time) or (isinstance(page, RoundList) and self._on_a_list()):
            page.turned()
            page.show()
        else:
            self._go_on()

    def _in_sight(self) -> bool:
        """Say whether a page of the walk is on top, which may be turned."""
        return isinstance(self.go.page, (Bench, FirstDay, RoundList, Time, History, Beware, Ready, Since, HeadAfter))

    def _turn(self, *, in_place: bool = False) -> None:
        """Show the page that the walk is at; `in_place` a list says what is new to beware of."""
        self.mate.moved()
        walk, step, page = self.session.walk, self.session.step(), self.go.page
        assert walk is not None
        due = self.session.due(step, led=self.at.first_day, in_place=in_place)
        if not self._may_show(walk, step):
            self._drop_asked()
        elif due == "step" and step is not None:
            kind = FirstDay if self.at.first_day else Bench
            bench = page if isinstance(page, kind) else kind(self.at, at_table=self._at_table)
            bench.put(walk.view(self.session.clock()), step)
            if bench is not page:
                self.go.place(bench)
        elif due == "history":
            if isinstance(page, History):
                page.show()
            else:
                self.go.place(History(self.at))
        elif due == "cautions":
            self.go.place(Beware(self.at, self.session.new_cautions(step), stop_first=self.session.stop_first))
        elif due == "ready":
            if isinstance(page, Ready):
                page.show()
            else:
                self.go.place(Ready(self.at))
        elif due == "since":
            if not isinstance(page, Since):
                self.go.place(Since(self.at))
        elif due == "head":
            self.go.place(HeadAfter(self.at))
        else:
            self.go.place(End(self.at, at_table=self._at_table))

    @property
    def _at_table(self) -> bool:
        return self.go.floor > 1

    def _may_show(self, walk: Walk, step: Step | None) -> bool:
        """Note at the table where the walk of its real car is; go back there when that step has to wait."""
        if not self._at_table:
            return True
        view = walk.view(self.session.clock())
        runs = step is not None and walk.scope.runs(step.state)
        place, outing = f"{view.symptom_name} · step {view.number}", self.session.outing
        if view.verdict is not None:
            place, outing = f"{view.symptom_name} · {view.verdict.outcome}", ""
        self.change_table(lambda table: table.walked(outing, place, runs=runs))
        if self.at.table.seat is None or not self.at.table.seat.waits:
            return True
        self.go.clear()
        self.go.page.show()
        return False

    def _drop_asked(self) -> None:
        """Forget the check that was chosen: the walk's own step is due."""
        self.session.asked, self.session.before, self.hurried = "", False, False

    def _on_a_list(self, *, at_last: bool = False) -> bool:
        """Say whether the step that is due stands on the list of a round, with what is new to beware of in sight.

        `at_last` once it was answered that all is ready for the engine to run.
        """
        walk, step = self.session.walk, self.session.step()
        assert walk is not None
        if self.session.due(step, in_place=True) not in (("step", "ready") if at_last else ("step",)):
            return False
        new = self.session.new_cautions(step)
        page = round_page(walk, walk.view(self.session.clock()), step, new)
        return page is not None and (not new or has_room(page, self.go.size))

    def _show_round(self) -> None:
        """Show the list that the step at hand stands on, if it does."""

        def left() -> None:
            self.by_list = False
            self._turn()

        if self._on_a_list():
            self.go.open(RoundList(self.at), self._ask, left)

    def _show_time(self) -> None:
        """Show the minutes, and what is owed."""

        def chosen(check: str = "") -> None:
            self.hurried = bool(check)
            self._ask(check)

        self.go.open(Time(self.at), chosen, chosen)

    def _ask(self, check: str) -> None:
        """Put a check that was chosen; one that must wait for another says so."""
        try:
            if check:
                self.session.ask(check)
        except DiagnoseError as error:
            self.go.tell(str(error))
        if check:
            self._turn()
        else:
            self._go_on()
