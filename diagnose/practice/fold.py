"""The events of a practice, done one after another at its engine: what came of each, and what is told of it."""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy
from typing import NamedTuple

from diagnose.graph.model import CLOSE, RUNNING, Knowledge, Screw, Work, signed
from diagnose.practice import feedback, ruin, setting
from diagnose.practice.drive import begun as walk_begun
from diagnose.practice.hands import Hands
from diagnose.practice.happenings import (
    Begun,
    GaveUp,
    Hinted,
    Looked,
    MendedPart,
    PracticeEvent,
    Ran,
    SetBack,
    Spoken,
    Tried,
    TurnedScrew,
)
from diagnose.practice.hints import hint
from diagnose.practice.owner import history
from diagnose.reason import events as ev
from diagnose.reason.gate import still_open
from diagnose.reason.scope import Scope
from diagnose.reason.steps import HEAT
from diagnose.reason.walk import Walk

CURED, GIVEN_UP = "cured", "given up"


class LessonLine(NamedTuple):
    """One thing that was done, and what came of it."""

    event: PracticeEvent
    before: Walk
    """What the program knew before it."""
    minutes: float
    """On the clock after it."""
    told: tuple[str, ...]
    closing: int = 0
    """So many of the first things that are told are about closing the car up."""
    hazards: tuple[str, ...] = ()
    """What was risked by it."""
    unguarded: bool = False
    """The engine ran, and a guard had not been seen to."""
    early: tuple[str, ...] = ()
    """For a turn: why it came too early."""
    seen: str | float | None = None
    answer: str = ""
    """The answer that the look gave; empty when nobody could tell."""
    outcome: str = ""
    head: float | None = None
    put_right: tuple[str, ...] = ()
    """Faults that are gone since."""
    in_vain: bool = False
    """A mend of something that was sound."""

    @property
    def came(self) -> str:
        """What came of it, in a sentence."""
        return next(iter(self.told[self.closing :]), "")


class PracticeFold:
    """The events, done one after another."""

    def __init__(self, knowledge: Knowledge, events: Sequence[PracticeEvent]) -> None:
        begun = events[0]
        assert isinstance(begun, Begun)
        engine = setting.engine(begun, knowledge)
        self.knowledge = knowledge
        self.scope = Scope(knowledge, engine.variant)
        self.came = engine
        self.hands = Hands(engine, self.scope)
        said = history(engine, knowledge, knowledge.lessons.get(begun.lesson))
        self.walk = self.first = walk_begun(knowledge, self.scope, self.hands, said)
        self.lines: list[LessonLine] = []
        self.ended = ""
        for event in events[1:]:
            self._add(event)

    def plus(self, event: PracticeEvent) -> PracticeFold:
        """Return the fold of one more event; this one stays as it is."""
        made = copy(self)
        made.hands, made.lines = self.hands.twin(), list(self.lines)
        made._add(event)
        return made

    def _add(self, event: PracticeEvent) -> None:
        if isinstance(event, Spoken):
            return
        closed = self._close_up(event)
        before, wrong = self.walk, self._wrong()
        changes = len(self.hands.changes)
        line = self._done(event, before)
        in_vain = any(not one.helped and one.kind == "mend" for one in self.hands.changes[changes:])
        gone = tuple(sorted(wrong - self._wrong()))
        line = line._replace(minutes=self.hands.minutes, put_right=gone, in_vain=in_vain)
        first = line.unguarded and not any(one.unguarded for one in self.lines)
        lost = (feedback.NO_MINUTES,) if first else ()
        self.lines.append(line._replace(told=(*closed, *line.told, *lost), closing=len(closed)))

    def _wrong(self) -> set[str]:
        """Return what is still wrong of what the engine came with."""
        return {one.fault for one in self.came.troubles if self.hands.engine.still_wrong(one)}

    def _runs(self, line: LessonLine) -> LessonLine:
        """Let the engine run, and return what is risked and ruined by that."""
        hands = self.hands
        hazards = feedback.running(self.walk, hands)
        hands.engine, ruined = ruin.ran(hands.engine, self.came)
        return line._replace(hazards=(*ruined, *hazards), unguarded=bool(feedback.not_guarded(self.walk)))

    def _close_up(self, event: PracticeEvent) -> tuple[str, ...]:
        """Close what is open before the engine turns, or before a guard, as nobody here forgets to, and say so."""
        work, state = self._work(event), self.walk.state
        openings = still_open(state, work) if work is not None else []
        if isinstance(event, Looked) and event.check in self.scope.guards and state.loose(self.scope):
            openings = list(state.open)
        if not openings:
            return ()
        closing, known = self.knowledge.preparations[CLOSE], self.knowledge.openings
        self.hands.spend(closing.state, closing.minutes)
        self.hands.open = ()
        self._note(ev.Prepared(self.hands.now, CLOSE, "ready"))
        return (f"First the car is closed up: {', '.join(known[name].close for name in state.open)}.",)

    def _work(self, event: PracticeEvent) -> Work | None:
        match event:
            case Looked():
                return self.scope.checks[event.check]
            case MendedPart():
                return self.scope.faults[event.fault].mend
            case Ran():
                return self.knowledge.preparations[HEAT]
            case Tried():
                return self.knowledge.symptoms[self.hands.complaints[-1]].retest
            case _:
                return None

    def _done(self, event: PracticeEvent, before: Walk) -> LessonLine:
        hands = self.hands
        line = LessonLine(event, before, hands.minutes, ())
        match event:
            case Looked():
                return self._looked(event, line)
            case MendedPart():
                hands.mend(event.fault)
                self._note(ev.Mended(hands.now, event.fault))
                return line._replace(told=(f"Done: {self.scope.faults[event.fault].name}. Now see what came of it.",))
            case TurnedScrew():
                return self._turned(event, line)
            case SetBack():
                node = self._node("restore")
                hands.spend("parked", self.knowledge.preparations[feedback.going_back(self.knowledge)].minutes)
                hands.go_back()
                if self.walk.state.undo:  # what is undone by that is not asked for again
                    self._note(ev.Undone(hands.now))
                self._note(ev.Restored(hands.now, node))
                return line._replace(
                    told=(
                        "The screws stand on the record, the needles to the rich side of it, as far as the day asks.",
                    )
                )
            case Ran():
                return self._lapped(line) if event.laps else self._ran(line)
            case Tried():
                return self._tried(line)
            case Hinted():
                return line._replace(told=hint(hands, event.strength))
            case GaveUp():
                self.ended = GIVEN_UP
                return line._replace(told=("You stopped here. That is no shame: look at what it was.",))
            case _:
                return line

    def _note(self, event: ev.Event) -> None:
        """Let the walk know, whether or not it would have offered that."""
        self.walk = Walk(self.knowledge, (*self.walk.events, event), self.scope)

    def _looked(self, event: Looked, line: LessonLine) -> LessonLine:
        hands, check = self.hands, self.scope.checks[event.check]
        line = self._runs(line) if check.runs else line
        hands.count(event.check)
        engine = hands.engine
        seen = hands.see(event.check)
        answer = ""
        if isinstance(seen, float):
            assert check.reading is not None
            seen = min(max(seen, check.reading.least), check.reading.most)
            answer = self.knowledge.band(check, seen, self.scope.engine)
            self._note(ev.Measured(hands.now, event.check, seen))
        else:
            answer = seen or ""
            self._note(ev.Answered(hands.now, event.check, seen or ev.CANT_TELL))
        if answer and (swapped := check.answers[answer].mends):
            hands.note(engine, "swap", swapped)
        told = feedback.look(self.walk, event.check, seen, answer, event.expected)
        return line._replace(told=told, seen=seen, answer=answer)

    def _turned(self, event: TurnedScrew, line: LessonLine) -> LessonLine:
        hands, before = self.hands, self.hands.engine
        undoes = feedback.undoes(self.walk, event.screw, event.hours)
        follows = event.screw in self.walk.state.following
        early = () if undoes or follows else feedback.too_early(self.walk, event.screw, event.hours, hands.now)
        node = self._node("adjust", event.screw)
        hands.minutes += self.scope.minutes("needle-step-minutes")
        follow: dict[Screw, float] = {"idle stop": event.stop} if event.stop else {}
        hands.turn({event.screw: event.hours, **follow})
        self._note_turn(event.screw, event.hours, follow, node)
        told, hazards = feedback.turned(before, hands.engine, event.screw)
        return line._replace(told=(*told, *(f"Too early: {one}." for one in early)), hazards=hazards, early=early)

    def _node(self, kind: str, name: str = "") -> str:
        """Return the node of the route that asks for what is done now, so that the walk goes on from there."""
        step = self.walk.step(self.hands.now)
        return step.node if step is not None and step.kind == kind and name in ("", step.id) else ""

    def _note_turn(self, screw: Screw, hours: float, follow: dict[Screw, float], node: str) -> None:
        """Let the walk know of a turn; the part of it that takes back the last turn is an undoing."""
        state, now = self.walk.state, self.hands.now
        last = state.standing_turns[-1] if state.standing_turns else None
        back = signed(last.way, last.hours) if last is not None and last.screw == screw else 0.0
        if back * hours < 0 and (state.undo or abs(hours) >= abs(back)):
            self._note(ev.Undone(now))
            hours, follow = hours + back, {}
        if hours:
            follows = screw in state.following
            self._note(ev.Adjusted(now, screw, feedback.way(screw, hours), abs(hours), follow, node, follows))

    def _ran(self, line: LessonLine) -> LessonLine:
        hands, line = self.hands, self._runs(line)
        node = self._node("prepare", HEAT)
        hands.warm()
        head = hands.engine.head(hands.visits[HEAT])
        self._note(ev.Prepared(hands.now, HEAT, feedback.heat(self.scope, head), head, node=node))
        return line._replace(told=feedback.ran(self.scope, hands.engine, head), head=head)

    def _lapped(self, line: LessonLine) -> LessonLine:
        """Drive laps. The walk hears nothing of it: its window is that of a head read at idle."""
        line = self._runs(line)
        head = self.hands.laps()
        return line._replace(told=feedback.lapped(self.scope, head), head=head)

    def _tried(self, line: LessonLine) -> LessonLine:
        """Try again. A cure that only hides what is wrong does not last, and the next complaint follows the first."""
        hands, running = self.hands, self.knowledge.symptoms[self.hands.complaints[-1]].retest.state in RUNNING
        line = self._runs(line) if running else line
        outcome = hands.try_again()
        outcome = "worse" if hands.stopped() else outcome
        again = hands.complains_again() if outcome == "cured" and hands.wrong() else None
        hides = outcome == "cured" and bool(hands.wrong()) and again is None
        if self.walk.state.retest:
            self._note(ev.Retested(hands.now, "same" if hides else outcome))  # type: ignore[arg-type]
        elif outcome == "cured" and not hides:
            self._note(ev.Retested(hands.now, "cured"))
        told = feedback.tried(self.knowledge, outcome, again, hides=hides, stopped=hands.stopped())
        if outcome == "cured" and not hands.wrong():
            self.ended = CURED
        elif again is not None:
            self._next_complaint(again)
        return line._replace(told=told, outcome="hidden" if hides else outcome)

    def _next_complaint(self, symptom: str) -> None:
        """Go on with what the owner says next; the healthy answers stay good."""
        hands, state = self.hands, self.walk.state
        kept = tuple(
            ev.Carried(check, given.answer, given.at, "")
            for check, given in state.answers.items()
            if state.healthy(self.scope, check)
        )
        hands.complaints = [symptom]
        hands.felt = hands.strength()
        started = self.walk.started
        self.walk = Walk(
            self.knowledge,
            (
                ev.Started(
                    hands.now,
                    started.knowledge,
                    symptom,
                    "",
                    started.variant,
                    carried=kept,
                    turned=dict(state.turned),
                    recorded=started.recorded,
                ),
            ),
            self.scope,
        )
