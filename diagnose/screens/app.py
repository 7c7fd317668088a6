"""The app: it hands what is at hand to the first page, and what pages say to the flow that answers."""

from __future__ import annotations

import asyncio
import gc
import os
import signal
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

from textual import events, on
from textual.app import App
from textual.binding import Binding, BindingType
from textual.filter import ANSIToTruecolor, LineFilter
from textual.reactive import Reactive
from textual.screen import Screen
from textual.theme import Theme

from diagnose.folders import cache_dir, home
from diagnose.pages.unsaved import QUIT_AGAIN, QUIT_UNSAVED
from diagnose.record.journal import Journal, JournalError
from diagnose.screens.ahead import Ahead
from diagnose.screens.at_hand import AtHand
from diagnose.screens.home import Home
from diagnose.screens.messages import Of, Opened, PageDeed, PageWanted, Picked
from diagnose.screens.navigator import Navigator
from diagnose.screens.page import HEIGHTS, WIDTHS, PageScreen, Said
from diagnose.screens.theme import DAY, NIGHT
from diagnose.screens.widgets.field import NumberField
from diagnose.screens.widgets.keys import LEAVE, TROUBLE
from diagnose.workshop.mate import Inviting
from diagnose.workshop.session import Session

if TYPE_CHECKING:
    from rich.terminal_theme import TerminalTheme

    from diagnose.practice.happenings import Begun
    from diagnose.screens.flow import Flow


STOPPED = 128
"""The exit code of a program that a signal ends is its number on top of this."""
LEAVES = frozenset({"q", LEAVE.key, "ctrl+c"})
SIGNALS = [getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if os.name == "posix"]


class NeedlesLast(App[int]):
    """The terminal companion. `trouble` says why the journal could not be opened; then the session is in memory."""

    TITLE = "needles last"
    CSS_PATH = "app.tcss"
    theme: Reactive[str] = Reactive(DAY.name)  # from the start: a change of it would read the style sheet again
    ENABLE_COMMAND_PALETTE = False
    HORIZONTAL_BREAKPOINTS = WIDTHS
    VERTICAL_BREAKPOINTS = HEIGHTS
    BINDINGS: ClassVar[list[BindingType]] = [
        TROUBLE,
        Binding("question_mark", "screen.want('read', 'words')", "words"),
        Binding("f9", "screen.want('lead', 'first day')", "first day", show=False),
        Binding("q", "letter_quit", "leave"),
        Binding("ctrl+c", "interrupt", show=False, priority=True),
    ]

    def __init__(
        self,
        session: Session,
        symptom: str = "",
        engine: str = "",
        trouble: str = "",
        practice: tuple[Begun, str] | None = None,
        first: PageDeed | None = None,
        invite: Inviting | None = None,
    ) -> None:
        super().__init__()
        self.session = session
        self.at = AtHand(session, session.engine(engine) if engine else session.last_engine())
        self.at.invite = invite
        self.go = Navigator(self, self.answer)
        self.ahead = Ahead()
        self.trouble = trouble
        self.leaving = False
        self.asked_to_leave = ""
        """The key that has asked to leave: pressed again, it leaves."""
        opened = Opened(*practice) if practice else first
        self.first: PageDeed | None = Picked(symptom) if symptom else opened
        """What was asked for on the command line."""
        self._flows: dict[Of, Flow] = {}

    def get_default_screen(self) -> Screen[Any]:
        """Begin at home."""
        return Home(self.at)

    def on_mount(self) -> None:
        """Open what was asked for on the command line."""
        for number in SIGNALS if not self.is_headless else ():
            asyncio.get_running_loop().add_signal_handler(number, self.stopped, number)
        if self.trouble:
            self.flow("walk").go_on_unsaved(self.trouble, self._opened)
        else:
            self._opened()

    def on_unmount(self) -> None:
        """Let no phone in any more."""
        if self.at.mate is not None:
            self.at.mate.end()

    def _opened(self) -> None:
        if self.first is not None:
            self.go.say(self.first)
        elif self.at.first_day and not self.session.open_outings():
            self.go.say(PageWanted("lead", "front"))

    @on(Said)
    def _said(self, message: Said) -> None:
        if message.page is self.screen or not isinstance(message.what, PageWanted):  # that key came too early
            self.answer(message.what, message.page)

    def answer(self, what: PageDeed, page: PageScreen[Any]) -> None:
        """Let the flow that it is for answer what a page says."""
        self.flow(what.of).said(what, page)

    def flow(self, of: Of) -> Flow:
        """Return a flow. It is imported, with its pages, when it is first needed: no first screen waits for them."""
        if of not in self._flows:
            self._flows[of] = _kind(of)(self.at, self.go)
        return self._flows[of]

    async def on_event(self, event: events.Event) -> None:
        """Drop a key that comes too early, or after leaving; let a number be typed where one is asked for."""
        if self.leaving and isinstance(event, (events.Key, events.MouseEvent, events.Paste)):
            return
        if isinstance(event, (events.Key, events.MouseEvent, events.Paste)) and isinstance(self.screen, PageScreen):
            page, key = self.screen, event if isinstance(event, events.Key) else None
            if not self.ahead.takes(event, page):
                return
            if key is not None and not key.is_forwarded:
                if key.character and key.key not in NumberField.leaves:
                    page.begin_typing(key.character)
                if key.key not in LEAVES:
                    self.asked_to_leave = ""
        await super().on_event(event)

    async def action_letter_quit(self) -> None:
        """Leave by a letter that is pressed twice on end: no word that is typed does."""
        if self.asked_to_leave:
            await self.action_quit()
        else:
            self._ask_to_leave("q", QUIT_AGAIN)

    async def action_quit(self) -> None:
        """Leave; whatever is pressed after that opens no page. What was filled in and not saved is asked about once."""
        kept = any(isinstance(page, PageScreen) and page.filled for page in self.screen_stack)
        if (kept or self.at.drafts) and not self.leaving and self.asked_to_leave != LEAVE.key:
            self._ask_to_leave(LEAVE.key, QUIT_UNSAVED)
            return
        self.leaving = True
        await super().action_quit()

    def _ask_to_leave(self, key: str, why: str) -> None:
        self.asked_to_leave = key
        self.notify(why, markup=False)

    async def action_interrupt(self) -> None:
        """Copy what is marked; with nothing marked, leave."""
        if self.screen.get_selected_text():
            self.screen.action_copy_text()
        else:
            await self.action_quit()

    def stopped(self, signal: int) -> None:
        """Leave at once, the terminal as it was: somebody ends the program, or the terminal is gone."""
        self.leaving = True
        self.exit(return_code=STOPPED + signal)

    def action_light(self) -> None:
        """Change between the day's and the evening's theme."""
        self.theme = NIGHT.name if self.theme == DAY.name else DAY.name

    @property
    def available_themes(self) -> dict[str, Theme]:
        """Our own two."""
        return {DAY.name: DAY, NIGHT.name: NIGHT}

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Leave out the filter for a terminal's own colours: the themes name none, and every drawn line passes it."""
        return [one for one in super().get_line_filters() if not isinstance(one, ANSIToTruecolor)]

    @property
    def ansi_theme(self) -> TerminalTheme:
        """The terminal's own colours, which no theme of ours names: looking for the theme's took a moment a line."""
        return self.ansi_theme_dark

    def _fatal_error(self) -> None:
        """Leave with no traceback on the screen: `run` hands the error on, and the command writes the log."""
        self._close_messages_no_wait()

    @property
    def crash(self) -> Exception | None:
        """What crashed the screens, if something did."""
        return self._exception


def _kind(of: Of) -> type[Flow]:
    match of:
        case "read":
            from diagnose.screens.reading import ReadingFlow

            return ReadingFlow
        case "walk":
            from diagnose.screens.walking import Walking

            return Walking
        case "lead":
            from diagnose.screens.leading import Leading

            return Leading
        case "tune":
            from diagnose.screens.tuning import Tuning

            return Tuning
        case "practise":
            from diagnose.screens.practising import Practising

            return Practising
        case "teach":
            from diagnose.screens.teaching import Teaching

            return Teaching
        case "cars":
            from diagnose.screens.real_cars import RealCars

            return RealCars
        case "car":
            from diagnose.screens.one_car import OneCar

            return OneCar
        case "outings":
            from diagnose.screens.looking_back import LookingBack

            return LookingBack


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
    first: PageDeed | None = None,
    invite: Inviting | None = None,
) -> int:
    """Open the UI, at a symptom, a practice or a page when one is named, and return the exit code.

    `invite` lets a mate in.

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
        app = NeedlesLast(Session(knowledge, journal), symptom or "", engine or "", trouble, practice, first, invite)
        settle_memory()
        code = app.run()
        app.session.journal.close()
    if app.crash is not None:
        raise app.crash
    return code or app.return_code or 0
