"""The app: it holds the session, stores what screens say has happened, and shows the page that is due."""

from __future__ import annotations

import gc
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

from textual import events, on
from textual.binding import Binding, BindingType
from textual.screen import Screen
from textual.timer import Timer

from diagnose.errors import DiagnoseError
from diagnose.folders import cache_dir, home
from diagnose.reason import events as ev
from diagnose.record.journal import Journal, JournalError
from diagnose.screens.ahead import Ahead
from diagnose.screens.bench import Bench
from diagnose.screens.home import Home
from diagnose.screens.messages import Closed, Happened, Picked, Read, Resumed, SinceTold
from diagnose.screens.page import Page
from diagnose.screens.real_cars import RealCars
from diagnose.screens.tuning import Tuning
from diagnose.screens.widgets.keys import TROUBLE
from diagnose.workshop.session import OWED_AGAIN, Session

if TYPE_CHECKING:
    from diagnose.practice.happenings import Begun
    from diagnose.record.engines import Engine


PAUSE = 2.0
"""Seconds after an answer in which memory is not collected: most people read for longer."""


class NeedlesLast(RealCars, Tuning):
    """The terminal companion. `trouble` says why the journal could not be opened; then the session is in memory."""

    TITLE = "needles last"
    CSS_PATH = "app.tcss"
    ENABLE_COMMAND_PALETTE = False
    HORIZONTAL_BREAKPOINTS = [(0, "-tiny"), (30, "-narrow"), (70, "-medium"), (104, "-wide")]
    VERTICAL_BREAKPOINTS = [(0, "-flat"), (9, "-short"), (30, "-tall")]
    BINDINGS: ClassVar[list[BindingType]] = [
        TROUBLE,
        Binding("question_mark", "words", "words"),
        Binding("q", "quit", "leave"),
    ]

    def __init__(
        self,
        session: Session,
        symptom: str = "",
        engine: str = "",
        trouble: str = "",
        practice: tuple[Begun, str] | None = None,
    ) -> None:
        super().__init__(session)
        self.ahead = Ahead()
        self.practice = practice
        """A practice to open with, and the learner's nickname."""
        self.symptom = symptom
        self.trouble = trouble
        self.engine = session.engine(engine) if engine else session.last_engine()
        self.leaving = False
        self.hurried = False
        """True when it was chosen from the list of what is owed: answering it goes back there."""
        self.pause: Timer | None = None
        """Runs while a person reads."""

    def get_default_screen(self) -> Screen[Any]:
        """Begin at home."""
        return Home()

    def on_mount(self) -> None:
        """Open what was asked for on the command line."""
        if self.trouble:
            self.go_on_unsaved(self.trouble, self._opened)
        else:
            self._opened()

    @property
    def _home(self) -> Home:
        home = self.screen_stack[0]
        assert isinstance(home, Home)
        return home

    def _opened(self) -> None:
        if self.symptom:
            self._begin(self.symptom)
        elif self.practice is not None:
            begun, nickname = self.practice
            self.offer(nickname, lambda: self.practise(lambda _: begun, nickname))

    async def on_event(self, event: events.Event) -> None:
        """Drop a key that comes too early, or after leaving; let a number be typed where one is asked for."""
        if self.leaving and isinstance(event, (events.Key, events.MouseEvent, events.Paste)):
            return
        if isinstance(event, (events.Key, events.MouseEvent, events.Paste)) and isinstance(self.screen, Page):
            page, key = self.screen, event if isinstance(event, events.Key) else None
            if not self.ahead.takes(event, page):
                if key is not None and key.key == "q" and page.hidden:
                    await self.action_quit()  # a field that can't be seen would take the letter
                return
            if key is not None and key.character and not key.is_forwarded:
                page.begin_number(key.character)
        await super().on_event(event)

    async def action_quit(self) -> None:
        """Leave; whatever is pressed after that opens no page."""
        self.leaving = True
        await super().action_quit()

    # what screens say

    @on(Picked)
    def _picked(self, message: Picked) -> None:
        self._begin(message.symptom)

    @on(Resumed)
    def _resumed(self, message: Resumed) -> None:
        self.hurried = False

        def opened() -> None:
            self._turn()
            if self.session.new_day:
                self.notify(OWED_AGAIN, markup=False)

        self.attempt(lambda: self.session.resume(message.outing), opened)

    @on(Closed)
    def _close_walk(self, message: Closed) -> None:
        def close() -> None:
            if message.unread:
                self.session.put_away(message.outing)
                return
            self.session.resume(message.outing)
            self.session.record(ev.Ended(self.session.clock()))

        def closed() -> None:
            self._home.show()
            self._home.turned()

        self.attempt(close, closed)

    @on(Happened)
    def _happened(self, message: Happened) -> None:
        self._store(message.event)

    @on(Read)
    def _read(self, message: Read) -> None:
        self.session.has_read(message.cautions)
        self._turn()

    @on(SinceTold)
    def _since_told(self, message: SinceTold) -> None:
        self._store(ev.Happened(self.session.clock(), message.what))

    def _store(self, event: ev.Event) -> None:
        if self.pause is not None:
            self.pause.stop()
        self.pause = self.set_timer(PAUSE, gc.collect)

        def stored() -> None:
            from diagnose.screens.deadline import Time

            if isinstance(self.screen, Time):
                self.screen.show()
                return
            hurried = False
            if not isinstance(event, ev.Happened) and self.session.due(self.step()) != "since":
                hurried, self.hurried = self.hurried, False
            self._turn()
            if hurried and isinstance(self.screen, Bench):
                self.action_time()

        self.attempt(lambda: self.session.record(event), stored)

    # what follows

    def _begin(self, symptom: str) -> None:
        if self.engine is None:
            from diagnose.screens.engine_form import EngineForm

            self.push_screen(EngineForm(first=True), lambda made: self._begin_with(symptom, made))
        else:
            self._begin_with(symptom, self.engine)

    def _begin_with(self, symptom: str, engine: Engine | None) -> None:
        if engine is None:
            return
        self.engine = engine if engine.name else None
        self.hurried = False
        self.attempt(lambda: self.session.start(symptom, self.engine, engine.variant), self._turn)

    def _turn(self) -> None:
        """Show the page that the walk is at."""
        walk, step = self.session.walk, self.step()
        assert walk is not None
        due = self.session.due(step)
        if not self.may_show(walk, step):
            self.session.asked, self.hurried = "", False
            return
        screen = self.screen
        if due == "step" and step is not None:
            bench = screen if isinstance(screen, Bench) else Bench()
            bench.show(walk.view(self.session.clock()), step)
            if bench is not screen:
                self._place(bench)
        elif due == "history":
            from diagnose.screens.history import History

            if isinstance(screen, History):
                screen.show()
            else:
                self._place(History())
        elif due == "cautions":
            from diagnose.screens.beware import Beware

            self._place(Beware(self.session.new_cautions(step), stop_first=self.session.stop_first))
        elif due == "since":
            from diagnose.screens.since import Since

            if not isinstance(screen, Since):
                self._place(Since())
        else:
            from diagnose.screens.end import End

            self._place(End())

    def drop_asked(self) -> None:
        """Go back to the walk's own step."""
        self.session.asked, self.hurried = "", False
        self._turn()

    def _place(self, page: Screen[Any]) -> None:
        """Put a page on home, or on the table, in place of the one that is there."""
        floor = self.floor
        while len(self.screen_stack) > floor + 1:
            self.pop_screen()
        if len(self.screen_stack) > floor:
            self.switch_screen(page)
        else:
            self.push_screen(page)

    def _fatal_error(self) -> None:
        """Leave with no traceback on the screen: `run` hands the error on, and the command writes the log."""
        self._close_messages_no_wait()

    @property
    def crash(self) -> Exception | None:
        """What crashed the screens, if something did."""
        return self._exception

    # keys

    def action_engines(self) -> None:
        """Choose an engine."""
        from diagnose.screens.engines import Engines

        def chosen(engine: Engine | None) -> None:
            if engine is not None:
                self.engine = engine
                self._home.show()

        self.push_screen(Engines(), chosen)

    def action_take_back(self) -> None:
        """Choose what to take back."""
        from diagnose.screens.take_back import TakeBack

        def chosen(number: int | None) -> None:
            if number is not None:
                self._store(ev.Retracted(self.session.clock(), number))

        self.push_screen(TakeBack(), chosen)

    def action_another(self) -> None:
        """Choose another check to answer."""
        from diagnose.reason.explain import ALSO, others
        from diagnose.screens.listing import ListEntry, Listing

        walk = self.session.walk
        assert walk is not None

        def chosen(found: str | None) -> None:
            if found and found.startswith(ALSO):
                self._store(ev.Told(self.session.clock(), ev.ALSO, found.removeprefix(ALSO)))
            else:
                self._ask(found)

        entries = [ListEntry(choice.id, choice.say) for choice in others(walk)]
        self.push_screen(Listing("Answer another check", entries), chosen)

    def action_time(self) -> None:
        """Show the minutes, and what is owed."""
        from diagnose.screens.deadline import Time

        def chosen(check: str | None) -> None:
            self.hurried = bool(check)
            self._ask(check)

        self.push_screen(Time(), chosen)

    def _ask(self, check: str | None) -> None:
        """Put a check that was chosen; one that must wait for another says so."""
        try:
            if check:
                self.session.ask(check)
        except DiagnoseError as error:
            self.notify(str(error), markup=False)
        self._turn()


def settle_memory() -> None:
    """Keep the collector from holding up a key: leave out what stays for good, and let it run while nobody waits.

    A painted screen makes some ten thousand short-lived objects. A full collection over the libraries and the
    knowledge, which never go, took longer than all else from a key to the next question; one over what is young, as
    long as the drawing.
    """
    gc.freeze()
    gc.set_threshold(1_000_000, 20, 50)  # for who never pauses


def run(
    overlays: Sequence[Path] = (),
    symptom: str | None = None,
    engine: str | None = None,
    practice: tuple[Begun, str] | None = None,
) -> int:
    """Open the UI, at a symptom or a practice when one is named, and return the exit code.

    Raises `DiagnoseError` when the knowledge can't be used, and whatever crashed the screens: the command writes the
    log, and says where it is.
    """
    from diagnose.graph.load import load

    knowledge = load(overlays, cache=cache_dir())
    trouble = ""
    try:
        journal = Journal.open(home() / "journal.sqlite3")
    except JournalError as error:
        journal, trouble = Journal.in_memory(), str(error)
    with journal:
        app = NeedlesLast(Session(knowledge, journal), symptom or "", engine or "", trouble, practice)
        settle_memory()
        code = app.run()
        app.session.journal.close()
    if app.crash is not None:
        raise app.crash
    return code or app.return_code or 0
