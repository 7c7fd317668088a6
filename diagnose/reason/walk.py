"""The walk: an immutable value made of events. Adding an event gives a new walk; so does taking one back."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property
from typing import TypeVar

from diagnose.errors import DiagnoseError
from diagnose.graph.model import RUNNING, Check, Knowledge, Question, Variant, Work
from diagnose.graph.problem import did_you_mean
from diagnose.reason import events as ev
from diagnose.reason import story
from diagnose.reason.decide import SOMEBODY_ELSE, Decision
from diagnose.reason.explain import view
from diagnose.reason.folded import folded
from diagnose.reason.gate import still_open
from diagnose.reason.passing import away
from diagnose.reason.scope import Scope
from diagnose.reason.standing import Standing
from diagnose.reason.state import State, effective
from diagnose.reason.steps import BEGUN, DONE, DROP, ENOUGH, NOT_NOW, RATHER
from diagnose.reason.turns import PARTS, STAYS
from diagnose.reason.view import Step, Verdict, View

T = TypeVar("T")

MOST_MINUTES = 600.0

LEAST_HEAD, MOST_HEAD = -40.0, 400.0
"""Degrees Celsius between which a head reading is believed to be one."""

RICH_SIDE = (
    ". The screws went home an hour to the rich side, since the day or the fuel is not known. If it now "
    "gurgles or smokes thickly, that is why: walk on that complaint before anybody leans it"
)
"""What is said of an engine that going back has cured."""

OUTCOMES: dict[str, ev.Outcome] = {"cured": "cured", "better": "better", "same": "same", "worse": "worse"}
PREPARED: dict[str, ev.PrepareOutcome] = {
    "ready": "ready",
    "too cool": "too cool",
    "too hot": "too hot",
    "won't run": "won't run",
}


class Walk:
    """One walk from a symptom to a verdict."""

    def __init__(self, knowledge: Knowledge, events: tuple[ev.Event, ...], scope: Scope | None = None) -> None:
        started = events[0]
        assert isinstance(started, ev.Started)
        self.knowledge = knowledge
        self.events = events
        self.started = started
        self.scope = scope or Scope(knowledge, started.variant, led=started.led)
        self._stepped: tuple[float, Step | None] | None = None
        self._viewed: tuple[float, View] | None = None
        """The last that was worked out, and for when: a walk never changes, and a page asks for the same again."""

    @property
    def variant(self) -> Variant:
        """The engine that it is about."""
        return self.started.variant

    @property
    def symptom(self) -> str:
        """The symptom that it is about now: a door may have led on."""
        return self.standing.symptom_id

    @cached_property
    def state(self) -> State:
        """What the events come to."""
        return folded(self.scope, self.events)

    @cached_property
    def standing(self) -> Standing:
        """Where the walk stands."""
        return Standing(self.scope, self.state)

    @cached_property
    def decision(self) -> Decision:
        """What comes next."""
        return Decision(self.standing)

    def step(self, now: float) -> Step | None:
        """Return the next step; None when the walk has ended. `now` in seconds, like the events' `at`."""
        if self._stepped is None or self._stepped[0] != now:
            self._stepped = now, self.decision.next(now)
        return self._stepped[1]

    def view(self, now: float) -> View:
        """Return everything that the bench shows."""
        if self._viewed is None or self._viewed[0] != now:
            self._viewed = now, view(self, now)
        return self._viewed[1]

    def left_alone(self, now: float, minutes: float = 0.0) -> bool:
        """Say whether what has happened since must be said before an answer to a step of so many minutes counts."""
        state = self.state
        carried = any(one.outing != ev.DAY_NOTE for one in self.started.carried)
        if state.unasked or (carried and len(self.events) == 1):
            return True
        return bool(state.answers) and away(now - self.answered_at, minutes)

    @property
    def answered_at(self) -> float:
        """When somebody who was at the car last said something, in seconds."""
        return next(event.at for event in reversed(self.events) if ev.tells_of_the_car(event))

    def verdict(self) -> Verdict | None:
        """Return how the walk ended, None while it goes on."""
        state = self.state
        match state.verdict:
            case "cured" | "nothing is wrong" | "handed over" | "stopped" as outcome:
                mended = tuple(fault for fault in state.mended if fault not in state.in_vain)
                if outcome == "cured" and self._only_normal(mended):
                    return Verdict("nothing is wrong", f"it was only this: {self._names(mended)}", mended)
                besides = self._besides() if outcome == "cured" else ""
                return Verdict(outcome, state.because + besides, mended, len(state.adjustments))
            case _:
                return None

    def _besides(self) -> str:
        """Say what else was found, and surely, and is not put right although the complaint is gone."""
        found = [one for one in self.standing.found if self.standing.surely(self.standing.accused[one])]
        besides = f". Found besides, and not put right: {self._names(found)}" if found else ""
        return besides + (RICH_SIDE if self._an_hour_rich() else "")

    def _an_hour_rich(self) -> bool:
        """Say whether a needle was left an hour on the rich side of its record, for a day that nobody had noted."""
        needles = self.state.home - {"idle stop", "mid needle"}
        return self.state.started.back_blind and bool(needles.difference(self.state.turned))

    def _names(self, faults: Iterable[str]) -> str:
        return ", ".join(self.scope.faults[fault].name for fault in faults)

    def _only_normal(self, mended: Sequence[str]) -> bool:
        """Say whether what cured it was no repair: it was only empty, or only new."""
        done = bool(self.state.adjustments) or bool(self.state.home)
        return bool(mended) and not done and all(self.scope.faults[fault].normal for fault in mended)

    def plus(self, event: ev.Event) -> Walk:
        """Return the walk with one more event; raises `DiagnoseError` on one that makes no sense here."""
        self._check(event)
        return Walk(self.knowledge, (*self.events, event), self.scope)

    def _check(self, event: ev.Event) -> None:
        match event:
            case ev.Answered():
                check = self._known("check", event.check, self.scope.checks)
                if event.answer not in ev.NOT_ANSWERS:
                    self._known(f"answer of '{event.check}'", event.answer, check.answers)
                    if not event.before:
                        self._closed_up(check)
            case ev.Measured():
                check = self._known("check", event.check, self.scope.checks)
                if check.reading is None:
                    raise DiagnoseError(f"the check '{event.check}' takes no reading")
                if not check.reading.least <= event.value <= check.reading.most:
                    raise DiagnoseError(
                        f"{event.value:g} {check.reading.unit} can't be right: {check.name} reads "
                        f"{check.reading.least:g} to {check.reading.most:g} {check.reading.unit}"
                    )
                self._closed_up(check)
            case ev.Prepared():
                self._closed_up(self._known("preparation", event.preparation, self.knowledge.preparations))
                if event.head is not None and not LEAST_HEAD <= event.head <= MOST_HEAD:
                    raise DiagnoseError(f"a head of {event.head:g} °C can't be right; read it again")
            case ev.HeadRead() if event.head is not None and not LEAST_HEAD <= event.head <= MOST_HEAD:
                raise DiagnoseError(f"a head of {event.head:g} °C can't be right; read it again")
            case ev.Deferred() if event.fault in self.knowledge.preparations:
                pass
            case ev.Mended() | ev.Deferred():
                self._known("fault", event.fault, self.scope.faults)
            case ev.Reopened():
                ended = self.take_back(event.at)
                if self.verdict() is None or ended is None or ended.number != event.number:
                    raise DiagnoseError("only a walk that has ended is opened again, and only at what ended it")
            case ev.Redirected():
                self._known("symptom", event.symptom, self.knowledge.symptoms)
            case ev.Told():
                self._tellable(event)
            case ev.Adjusted():
                self._allowed(event)
            case ev.Undone() if not self.state.standing_turns:
                raise DiagnoseError("there is no adjustment to turn back")
            case ev.Retested() if not self._may_retest():
                raise DiagnoseError("there is nothing to try again now")
            case ev.Retested():
                self._closed_up(self.standing.symptom.retest)
            case ev.Deadline() if event.minutes is not None and not 0 <= event.minutes <= MOST_MINUTES:
                raise DiagnoseError(
                    f"{event.minutes:g} minutes can't be right: say how many there are to the grid, "
                    f"0 to {MOST_MINUTES:g}"
                )
            case ev.Retracted():
                self._retractable(event.number)
            case _:
                pass

    def _tellable(self, event: ev.Told) -> None:
        """Refuse what a history question can't be answered with."""
        if event.question == ev.ALSO:
            for symptom in event.said:
                self._known("symptom", symptom, self.knowledge.symptoms)
        elif event.said:
            question = self._known("history question", event.question, self.knowledge.history)
            for answer in event.said:
                self._known(f"answer of '{event.question}'", answer, question.answers)
            if event.more and not question.several:
                raise DiagnoseError(f"'{event.question}' takes one answer, not {len(event.said)}")
            if event.more and question.healthy in event.said:
                alone = question.answers[question.healthy].say
                raise DiagnoseError(f"'{alone}' can only be chosen alone")

    def _closed_up(self, work: Work) -> None:
        """Refuse what cranks or runs the engine while something is open that must not be: there is no override."""
        if openings := still_open(self.state, work):
            named = ", ".join(self.knowledge.openings[name].open for name in openings)
            raise DiagnoseError(f"close up before the engine turns: {named}")

    def _may_retest(self) -> bool:
        runs = self.standing.symptom.retest.state in RUNNING
        return bool(self.state.retest) and not (runs and self.state.grounded())

    def _retractable(self, number: int) -> None:
        standing = dict(effective(self.events))
        if number <= 0 or number not in standing:
            raise DiagnoseError(f"there is no event {number} to take back")
        if reason := self.stays(number):
            raise DiagnoseError(reason)

    def stays(self, number: int) -> str:
        """Return why an event that stands can't be taken back; "" when it can."""
        event = self.events[number]
        if isinstance(event, ev.DONE_TO_THE_ENGINE):
            return "that was done to the engine: it is undone there, not here"
        if ev.another_day(event):
            return "the days go by: that is not taken back"
        if ev.counts_for_nothing((*self.events, ev.Retracted(event.at, number)), len(self.events)):
            return "something was done to the engine after that, so it stays; say how it is now when it is tried again"
        said = self.scope.checks[event.check].answers.get(event.answer) if isinstance(event, ev.Answered) else None
        swapped = said is not None and said.mends
        if swapped and any(isinstance(later, ev.Retested) for n, later in effective(self.events) if n > number):
            return "it was tried again after that: take that back first"
        return ""

    def _allowed(self, event: ev.Adjusted) -> None:
        """Refuse an adjustment that the walk did not offer, to the hour: there is no override."""
        spent = self.scope.minutes("needle-step-minutes") * 60  # the turn itself takes its time
        read = self.state.heat.at if self.state.heat is not None else event.at
        step = self.step(max(event.at - spent, read)) if event.at >= read else None
        turns = step.turns if step is not None and step.kind == ("follow" if event.follows else "adjust") else ()
        offered = not event.follow and (event.screw, event.way, event.hours) in [
            (turn.screw, turn.way, turn.hours * part) for turn in turns for part in PARTS.values()
        ]
        if not offered or event.hours <= 0:  # less than nothing would be the other way
            raise DiagnoseError(
                f"turning the {event.screw} {event.way} is not open now: read the head, and turn only what is asked"
            )

    @staticmethod
    def _known(kind: str, name: str, known: dict[str, T]) -> T:
        if name not in known:
            raise DiagnoseError(f"there is no {kind} '{name}'{did_you_mean(name, known)}")
        return known[name]

    def choose(self, step: Step, choice: str, at: float, sure: bool = True) -> ev.Event:
        """Return the event that a choice of a step makes."""
        match step.kind:
            case "ask" | "recheck" if choice == ENOUGH:
                planned = self.decision.planned(at)
                return ev.HandedOver(at, planned.ask if planned.kind == "refer" else SOMEBODY_ELSE)
            case "ask" | "recheck":
                return ev.Answered(at, step.id, choice, sure, step.before)
            case "prepare" if choice == DROP:
                return ev.Prepared(at, step.id, "ready", drop=True, node=step.node)
            case "prepare":
                return ev.Prepared(at, step.id, self._known("outcome", choice, PREPARED), node=step.node)
            case "mend" if choice == DONE:
                return ev.Mended(at, step.id)
            case "restore" if choice == DONE:
                return ev.Mended(at, step.id) if step.id in self.scope.faults else ev.Restored(at, step.node, step.only)
            case "mend" if choice == BEGUN:
                return ev.Deferred(at, step.id, begun=True)
            case "mend" | "restore" if choice == NOT_NOW:
                return ev.Deferred(at, step.id)
            case "retest":
                return ev.Retested(at, self._known("outcome", choice, OUTCOMES), step.id)
            case "adjust" | "follow" if choice in PARTS and any(one.id == choice for one in step.choices):
                (turn,) = step.turns
                hours = turn.hours * PARTS[choice]
                return ev.Adjusted(at, turn.screw, turn.way, hours, node=step.node, follows=step.kind == "follow")
            case "follow" if choice == STAYS:
                (turn,) = step.turns
                return ev.Listened(at, turn.screw)
            case "adjust" if choice == NOT_NOW:
                return ev.HandedOver(at, f"You would rather not turn the {step.id}.")
            case "undo" if choice == DONE:
                return ev.Undone(at)
            case "refer" if choice.startswith(RATHER):
                return ev.Redirected(at, choice.removeprefix(RATHER))
            case "refer" if choice == DONE:
                return ev.FoundNormal(at, step.ask) if step.normal else ev.HandedOver(at, step.ask)
            case _:
                known = [one.id for one in step.choices]
                raise DiagnoseError(f"'{choice}' is no answer to this step{did_you_mean(choice, known)}")

    def measure(self, step: Step, value: float, at: float) -> ev.Event:
        """Return the event of a reading: in the check's unit, or in °C for a head reading."""
        if step.kind != "prepare":
            return ev.Measured(at, step.id, value)
        floor, ceiling = self.scope.degrees("head-floor"), self.scope.degrees("head-ceiling")
        outcome: ev.PrepareOutcome = "too cool" if value < floor else "too hot" if value > ceiling else "ready"
        return ev.Prepared(at, step.id, outcome, head=value, node=step.node)

    def ask(self, check: str, *, before: bool = False) -> Step:
        """Return the step for answering a check unasked; `before` tells what was seen while the engine ran."""
        self._known("check", check, self.scope.checks)
        steps = self.decision.steps
        return steps.seen(check) if before else steps.check(check, "You chose to answer this one.")

    def askable(self) -> list[tuple[str, str]]:
        """Return the checks (id, name) that bear on what could be wrong, by name; those that may be made now."""
        suspects = {*self.standing.belief, *self.standing.held, *self.standing.first_open}
        found = [
            (name, check.name)
            for name, check in self.scope.checks.items()
            if (self.scope.clears(name) & suspects or name in self.scope.guards)
            and self.standing.makes_sense(name)
            and self.ready_for(check)
            and not (check.guard and self.state.loose(self.scope))
        ]
        return sorted(found, key=lambda pair: pair[1])

    def ready_for(self, check: Check) -> bool:
        """Say whether a check can be made as things stand: guarded, closed up and warm, where it wants that."""
        may_run = check.engine == "off" or (not self.state.grounded() and self._guarded)
        warm = check.state != "warm" or self.state.heat is not None
        return may_run and warm and not still_open(self.state, check)

    @property
    def _guarded(self) -> bool:
        return all(self.state.healthy(self.scope, guard) for guard in self.scope.guards)

    def take_back(self, at: float) -> ev.Retracted | None:
        """Return the retraction of the newest event; None when there is none, or it was done to the engine."""
        found = effective(self.events)[1:]
        besides = (ev.Parked, ev.HeadRead)
        standing = [(n, one) for n, one in found if not ev.another_day(one) and not isinstance(one, besides)]
        if not standing or isinstance(standing[-1][1], ev.DONE_TO_THE_ENGINE):
            return None
        return ev.Retracted(at, standing[-1][0])

    def reopen(self, at: float) -> ev.Reopened | None:
        """Return the event that opens a walk again which had ended; None when it goes on, or can't be opened."""
        ended = self.take_back(at) if self.verdict() is not None else None
        return None if ended is None else ev.Reopened(at, ended.number)

    def history(self) -> list[tuple[str, Question]]:
        """Return the history questions that are still to be put, each with the answers that are offered."""
        return story.to_put(self.scope, self.state)

    def tell(self, question: str, said: Iterable[str], at: float) -> ev.Told:
        """Return the event of these answers to a history question, in the order of the file; of none: skipped."""
        asked = self.knowledge.history.get(question)
        order = list(asked.answers) if asked is not None else []
        told = sorted(set(said) - {ev.SKIPPED}, key=lambda one: (order.index(one) if one in order else len(order), one))
        first, *more = told or [ev.SKIPPED]
        return ev.Told(at, question, first, tuple(more))


def begin(knowledge: Knowledge, started: ev.Started, scope: Scope | None = None) -> Walk:
    """Begin a walk, in the scope of another of the same engine if there is one; raises `DiagnoseError`."""
    if started.symptom not in knowledge.symptoms:
        from diagnose.graph.seek import could_be  # with what compares words, wanted here alone

        hint = could_be(started.symptom, knowledge, "symptoms")
        raise DiagnoseError(f"there is no symptom '{started.symptom}'{hint}")
    return Walk(knowledge, (started,), scope)


def replay(knowledge: Knowledge, events: Sequence[ev.Event]) -> Walk:
    """Fold stored events into a walk again; raises `DiagnoseError` when they are no walk."""
    if not events or not isinstance(events[0], ev.Started):
        raise DiagnoseError("these events are no walk: the first one must say how it started")
    begin(knowledge, events[0])
    return Walk(knowledge, tuple(events))
