"""One person at one journal: starts walks, records what happens before anything moves on, and finds them again.

Front ends (the screens, the plain walk, the commands) talk to this, so that none of them knows SQL or a clock.
"""

from __future__ import annotations

import itertools
import time
from collections.abc import Callable, Iterable
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import Literal

import msgspec

from diagnose.errors import DiagnoseError
from diagnose.folders import home
from diagnose.graph.model import Knowledge, Variant
from diagnose.reason import events as ev
from diagnose.reason.folded import folded
from diagnose.reason.passing import away
from diagnose.reason.seen import recordable
from diagnose.reason.state import effective
from diagnose.reason.view import OwedLine, Step
from diagnose.reason.walk import Walk, begin, replay
from diagnose.record.engines import Engine
from diagnose.record.index import OUTINGS
from diagnose.record.journal import Conflict, Journal
from diagnose.record.ledger import Ledgers
from diagnose.workshop.starting import Starting
from diagnose.workshop.workshop import Clock

Due = Literal["cautions", "since", "history", "ready", "step", "head", "end"]

READY = ("igniter", "bottle", "wheels")
"""What is answered before the engine runs: the igniter is off, the bottle shut, and the wheels are up."""


OWED_AGAIN = "It is another day, or hours later: all is owed again, the guards first."
NEW_DAY = f"{OWED_AGAIN} Your answer was not taken."
AWAY = "Some time has passed. Your answer was not taken: say first what has happened to the car since."
GUARDS_FIRST = "The engine runs for that one: the guards come first."
NOT_TOLD = "That look can't be recorded now."
NOT_READY = "Before the engine runs, say where the igniter, the bottle and the wheels are."
DELETED = "This walk was deleted in another window: it can't go on."
STILL_OPEN = "this walk is still open: it is listed first when the program opens"
UNSHOWN = "The walk could not be shown after that, so it was not stored. Nothing is lost; answer it another way."


class Away(DiagnoseError):  # noqa: N818 - what happened, not a fault
    """Nobody answered for a while: what has happened since is asked before an answer counts."""


class NewDay(Away):
    """It is another day than that of the last answer: all is owed again."""


class Session(Starting):
    """The walks of a workshop, and the one that is being made. `clock` returns seconds since the epoch."""

    def __init__(self, knowledge: Knowledge, journal: Journal, clock: Clock = time.time) -> None:
        super().__init__(knowledge, journal, clock)
        self.outing = ""
        self.walk: Walk | None = None
        self.told: set[str] = set()
        """Cautions that the person has read in full since the program was opened."""
        self.greeted = False
        """True once the first page of this walk was read."""
        self.asked = ""
        """A check that the person chose to answer out of turn."""
        self.before = False
        """It was seen before, while the engine ran, and is only told now."""
        self.head_due = False
        """A turn, or going back, has cured it just now, and nobody has said yet what the head has."""
        self.readied: frozenset[str] = frozenset()
        """Which of `READY` were answered since the engine last stood still."""
        self._read_at: tuple[int, str] | None = None
        """At how many events, and before which chosen check, a hazard was read: one is enough before a step."""

    def reopen(self) -> Walk:
        """Open the walk at hand again, which had ended by mistake; raises `DiagnoseError` when it can't be."""
        event = self._walk().reopen(self.clock())
        if event is None:
            raise DiagnoseError(STILL_OPEN if self._walk().verdict() is None else "this walk can't be opened again")
        return self.record(event)

    def start(
        self, symptom: str, engine: Engine | None = None, variant: Variant | None = None, *, led: bool = False
    ) -> Walk:
        """Start a walk, one thing at a time if it is `led`, and store its first event.

        Raises `DiagnoseError` for an unknown symptom.
        """
        started = msgspec.structs.replace(self.starting(symptom, engine, variant), led=led)
        at = started.at
        walk = _shown(lambda: begin(self.knowledge, started), at)
        second = datetime.fromtimestamp(at).strftime("%Y-%m-%d %H.%M.%S")
        for count in itertools.count(1):
            outing = second if count == 1 else f"{second} {count}"
            with suppress(Conflict):  # the name is taken, by this window or by another
                self.journal.append(f"{OUTINGS}{outing}", 0, [ev.to_json(started)], at)
                break
        self._take_up(outing, walk)
        return walk

    def resume(self, outing: str) -> Walk:
        """Go on with a walk of the journal, where it was left; what another day changes is stored first.

        Raises `DiagnoseError` for one that is not there, or can't be shown.
        """
        found = self.outing_called(outing)
        self._take_up(outing, found.walk)
        if found.open:
            self._note_day(self.clock())
        return self._walk()

    def follow(self, outing: str) -> Walk:
        """Look on at a walk that somebody else is making: nothing is stored by that. Raises `DiagnoseError`."""
        self._take_up(outing, self.outing_called(outing).walk)
        return self._walk()

    def put_away(self, outing: str) -> None:
        """Close a walk that can't be shown: home names it no more, and all of it is kept."""
        at, name = self.clock(), f"{OUTINGS}{outing}"
        self.journal.append(name, self.journal.length(name), [ev.to_json(ev.Ended(at))], at)

    def _take_up(self, outing: str, walk: Walk) -> None:
        self.outing, self.walk, self.head_due = outing, walk, False
        self.greeted, self.asked, self.before, self._read_at, self.readied = False, "", False, None, frozenset()

    def record(self, event: ev.Event) -> Walk:
        """Store an event, then move the walk on; raises `Conflict` after reading what another window wrote.

        Raises `NewDay` or `Away` when time has passed since the last one, and an answer can't count before that is
        dealt with. Nothing is stored that could not be shown afterwards.
        """
        if not isinstance(event, ev.Ended):
            new_day = self._note_day(event.at)
            if not isinstance(event, (ev.Happened, ev.Noted)) and self._walk().verdict() is None:
                self._in_time(event, new_day=new_day)
        if runs(self._walk(), event) and self.unready:
            raise DiagnoseError(NOT_READY)
        return self._store(event)

    def _in_time(self, event: ev.Event, *, new_day: bool) -> None:
        """Refuse what was answered before somebody said what has happened since."""
        if new_day:
            raise NewDay(NEW_DAY)
        walk = self._walk()
        away_now = away(event.at - walk.answered_at)
        with suppress(KeyError):  # an event that makes no sense is refused as such
            if walk.state.unasked or (away_now and folded(walk.scope, (*walk.events, event)).unasked):
                raise Away(AWAY)

    def _note_day(self, at: float) -> bool:
        """Store that it is another day, or hours later, than the last event; say whether it is."""
        if (happened := self.another_day(self._walk(), at)) is None:
            return False
        self._store(happened)
        return True

    @property
    def new_day(self) -> bool:
        """Say whether the newest event of the walk is that it is another day."""
        return ev.another_day(self._walk().events[-1])

    def _store(self, event: ev.Event) -> Walk:
        walk = self._walk()
        grown = _shown(lambda: walk.plus(event), event.at)
        try:
            self.journal.append(f"{OUTINGS}{self.outing}", len(walk.events), [ev.to_json(event)], event.at)
        except Conflict:
            if not self.catch_up():  # another window wrote nothing, so it took the walk away
                raise DiagnoseError(DELETED) from None
            raise
        self.head_due = walk.verdict() is None and grown.state.asks_head
        self.walk = grown
        self._still_asked(keep=isinstance(event, (ev.Happened, ev.Deadline, ev.Noted)))
        if isinstance(event, (*ev.STEPPED, ev.Happened)) and not runs(walk, event):
            self.readied = frozenset()
        return grown

    def catch_up(self) -> bool:
        """Read what another window or phone has written to this walk since; say whether there was anything."""
        walk = self._walk()
        since = self.journal.read(f"{OUTINGS}{self.outing}", len(walk.events))
        if not since:
            return False
        self.walk = replay(self.knowledge, [*walk.events, *map(ev.from_json, since)])
        self._still_asked(keep=True)
        return True

    def _still_asked(self, *, keep: bool) -> None:
        """Drop a check that was chosen, or keep it while it may be made."""
        if self.asked and not (keep and (self.before or self.may_open(self.asked))):
            self.asked, self.before = "", False

    def save_nowhere(self) -> None:
        """Go on in memory: the person agreed that nothing more is saved."""
        memory, stream = self.journal.into_memory(), f"{OUTINGS}{self.outing}"
        if self.walk is not None and not memory.read(stream, most=1):
            memory.append(stream, 0, [ev.to_json(event) for event in self.walk.events], self.clock())
        self.journal.close()
        self.journal = memory
        self.ledgers = Ledgers(self.knowledge)

    def step(self) -> Step | None:
        """Return the step at hand: the walk's own, or the one that the person chose."""
        walk = self._walk()
        return walk.ask(self.asked, before=self.before) if self.asked else walk.step(self.clock())

    def ask(self, check: str) -> None:
        """Put a check out of turn; raises `DiagnoseError` for one that must wait for another."""
        if not self.may_open(check):
            raise DiagnoseError(GUARDS_FIRST)
        self.asked, self.before = check, False

    def saw(self, check: str) -> None:
        """Put a look that was made unasked: any that can be told; raises `DiagnoseError` for one that can't."""
        found = next((one for one in recordable(self._walk()) if one.check == check), None)
        if found is None:
            raise DiagnoseError(NOT_TOLD)
        self.asked, self.before = check, found.before

    def untold(self) -> tuple[str, ...]:
        """Return the history questions that are put now: none before a check that the person chose."""
        return () if self.asked else untold(self._walk())

    def due(self, step: Step | None, *, led: bool = False, in_place: bool = False) -> Due:
        """Say what is put to the person now: cautions not yet read before the questions, those before `step`.

        Who is `led`, one thing at a time, is told the hazards in the steps, and is asked for no story. `in_place` the
        page of the step itself says what is new to beware of.
        """
        walk = self._walk()
        if walk.verdict() is not None:
            return "head" if self.head_due else "end"
        if self.stop_first or (not led and not (in_place and self.greeted) and self.new_cautions(step)):
            return "cautions"
        if walk.left_alone(self.clock(), step.minutes if step is not None else 0.0):
            return "since"
        if not led and self.untold():
            return "history"
        return "ready" if step is not None and step.engine == "running" and self.unready else "step"

    @property
    def unready(self) -> str:
        """The first of `READY` that nobody has answered since the engine last stood still; "" for none."""
        return next((name for name in READY if name not in self.readied), "")

    def has_readied(self, *names: str) -> None:
        """Note that these are as they must be before the engine runs."""
        self.readied |= frozenset(READY).intersection(names)

    @property
    def stop_first(self) -> bool:
        """Say whether this walk must open with stopping the engine."""
        walk = self._walk()
        return walk.knowledge.symptoms[walk.symptom].runs_away and not self.greeted

    def has_read(self, cautions: Iterable[str]) -> None:
        """Note that the person has read these, and the first page with them."""
        self.told.update(cautions)
        self.greeted = True
        self._read_at = (len(self.walk.events), self.asked) if self.walk is not None else None

    def may_open(self, check: str) -> bool:
        """Say whether a check may be answered out of turn now: a guard, or one that the walk lists."""
        walk = self._walk()
        return check in walk.scope.guards or any(check == known for known, _ in walk.askable())

    def new_cautions(self, step: Step | None) -> tuple[str, ...]:
        """Return the hazard that is read in full now, none or one: a warning that is new. More at once is not heeded.

        What is less than a warning stands in its step by its name. Before the first page it is of the symptom: for what
        can run away the one that says how to stop it, read or not.
        """
        walk, known = self._walk(), self.knowledge
        owed = known.symptoms[walk.symptom].cautions if not self.greeted else ()
        if self.stop_first:
            return next(((name,) for name in owed if known.cautions[name].now), owed[:1])
        if self._read_at == (len(walk.events), self.asked):
            return ()
        owed = (*owed, *(step.cautions if step and not self.untold() else ()))
        worst = known.worst_first(name for name in owed if name not in self.told)[:1]
        return tuple(name for name in worst if known.cautions[name].level == "warning")

    def owed_at_end(self) -> tuple[OwedLine, ...]:
        """Return what was still owed when the walk ended: a verdict itself owes nothing."""
        walk = self._walk()
        events = walk.events
        while len(events) > 1 and isinstance(events[-1], ev.HeadRead):
            events = events[:-1]
        events = events[:-1] if walk.verdict() and len(events) > 1 else events
        return replay(walk.knowledge, events).view(self.clock()).owed

    def may_be_turned(self) -> bool:
        """Say whether an adjustment is at stake in this walk: a screw's setting could be what is wrong."""
        return to_turn(self.knowledge, self._walk().standing.belief)

    def write_sheet(self, text: str) -> str:
        """Write what is handed over to a file in the data directory, and return its path; raises `OSError`."""
        sheet = self.sheet(self.outing)
        sheet.parent.mkdir(parents=True, exist_ok=True)
        sheet.write_text(text, "utf-8")
        return str(sheet)

    @staticmethod
    def sheet(outing: str) -> Path:
        """Return where the sheet of an outing is written."""
        return home() / "sheets" / f"{outing}.txt"

    def _walk(self) -> Walk:
        if self.walk is None:
            raise DiagnoseError("no walk has been started")
        return self.walk


def _shown(make: Callable[[], Walk], at: float) -> Walk:
    """Return a walk that can be shown; raises `DiagnoseError` for any other. What it takes is kept for the page."""
    try:
        made = make()
        made.view(at)
    except DiagnoseError:
        raise
    except Exception as error:
        raise DiagnoseError(UNSHOWN) from error
    return made


def untold(walk: Walk) -> tuple[str, ...]:
    """Return the history questions that are still to be put: none once a step was made."""
    if any(isinstance(event, ev.STEPPED) for _, event in effective(walk.events)):
        return ()
    return tuple(name for name, _ in walk.history())


def runs(walk: Walk, event: ev.Event) -> bool:
    """Say whether the engine ran for what an event tells; what could not be done says nothing."""
    match event:
        case ev.Answered(answer=ev.CANT_TELL | ev.NO_TOOL) | ev.Answered(before=True):
            return False
        case ev.Answered() | ev.Measured() if event.check in walk.scope.checks:
            return walk.scope.checks[event.check].engine == "running"
        case ev.Prepared() if event.preparation in walk.knowledge.preparations:
            return walk.knowledge.preparations[event.preparation].engine == "running" and event.outcome != "won't run"
        case ev.Retested():
            return walk.standing.symptom.retest.engine == "running"
        case _:
            return False


def to_turn(knowledge: Knowledge, faults: Iterable[str]) -> bool:
    """Say whether one of these is put right by an adjustment, and by nothing else."""
    return any(knowledge.faults[fault].turned for fault in faults if fault in knowledge.faults)


def reading_unit(step: Step) -> str:
    """Return the unit of the number that may be typed for a step, or nothing."""
    if step.reading is not None:
        return step.reading.unit
    return "°C" if step.kind == "prepare" and any(choice.id == "too hot" for choice in step.choices) else ""
