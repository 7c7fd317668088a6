"""A practice: a fold over what happened at an engine with something wrong, and what the learner is told of it.

Any check may be made at any time, anything may be mended, and a needle may be turned too early: then it is told at once
what that does. Beside it runs the walk that the program would make of the same events; from that come the guards, what
is grounded, and what is still owed. The walk is never shown while the learner works.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import NamedTuple, TypeVar

from diagnose.errors import DiagnoseError
from diagnose.graph.model import CLOSE, RUNNING, Knowledge, Screw, Variant, Work, signed
from diagnose.practice import feedback, setting
from diagnose.practice.allowed import check
from diagnose.practice.drive import begun as walk_begun
from diagnose.practice.hands import Hands
from diagnose.practice.happenings import (
    Begun,
    GaveUp,
    Hinted,
    Looked,
    MendedPart,
    PracticeEvent,
    PracticeHappening,
    Ran,
    Replied,
    SetBack,
    Spoken,
    Tried,
    TurnedScrew,
)
from diagnose.practice.hints import hint
from diagnose.reason import events as ev
from diagnose.reason.gate import still_open
from diagnose.reason.scope import Scope
from diagnose.reason.steps import HEAT
from diagnose.reason.view import Step
from diagnose.reason.walk import Walk

CURED, GIVEN_UP = "cured", "given up"
TURNED = "Somebody has turned its screws since it last ran well."
T = TypeVar("T", bound=PracticeHappening)


class LessonLine(NamedTuple):
    """One thing that was done, and what came of it."""

    event: PracticeEvent
    before: Walk
    """What the program knew before it."""
    minutes: float
    """On the clock after it."""
    told: tuple[str, ...]
    hazards: tuple[str, ...] = ()
    """What was risked by it."""
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


class Practice:
    """One practice, as a value: adding an event gives a new one."""

    def __init__(self, knowledge: Knowledge, events: Sequence[PracticeEvent]) -> None:
        if not events or not isinstance(events[0], Begun):
            raise DiagnoseError("these events are no practice: the first one must say how it began")
        self.knowledge = knowledge
        self.events = tuple(events)
        self.begun: Begun = events[0]

    @cached_property
    def _folded(self) -> _Fold:
        return _Fold(self.knowledge, self.events)

    @property
    def scope(self) -> Scope:
        """The knowledge as it applies to this engine."""
        return self._folded.scope

    @property
    def variant(self) -> Variant:
        """What kind of engine it is."""
        return self.scope.engine

    @property
    def hands(self) -> Hands:
        """The engine, the clock and the bench as they are now. Nobody else may use them."""
        return self._folded.hands

    @property
    def walk(self) -> Walk:
        """What the program knows now."""
        return self._folded.walk

    @property
    def lines(self) -> tuple[LessonLine, ...]:
        """What was done, in order."""
        return tuple(self._folded.lines)

    @property
    def minutes(self) -> float:
        """Minutes on the clock."""
        return self.hands.minutes

    @property
    def complaint(self) -> str:
        """The symptom that the owner reports now."""
        return self.hands.complaints[-1]

    @property
    def ended(self) -> str:
        """``cured``, ``given up``, or nothing while it goes on."""
        return self._folded.ended

    @property
    def reply(self) -> str:
        """The answer that was given to the lesson's question, if it was."""
        found = self.said(Replied)
        return found.answer if found is not None else ""

    def advice(self) -> Step | None:
        """Return what the program would do now, once the car is closed up for it."""
        walk, now = self.walk, self.hands.now
        step = walk.step(now)
        if step is not None and step.id == CLOSE:
            step = walk.plus(ev.Prepared(now, CLOSE, "ready")).step(now)
        return step

    def plus(self, event: PracticeEvent) -> Practice:
        """Return the practice with one more event; raises `DiagnoseError` on one that makes no sense here."""
        check(self, event)
        return Practice(self.knowledge, (*self.events, event))

    def story(self) -> tuple[str, ...]:
        """Return what the owner says."""
        told = feedback.story(self.knowledge, self.begun.symptom, self._folded.first)
        return (*told, *filter(None, (TURNED if self.begun.turned else "", self.begun.owner)))

    def said(self, kind: type[T]) -> T | None:
        """Return the last thing of a kind that the learner said, if any."""
        return next((one for one in reversed(self.events) if isinstance(one, kind)), None)


class _Fold:
    """The events, done one after another."""

    def __init__(self, knowledge: Knowledge, events: Sequence[PracticeEvent]) -> None:
        begun = events[0]
        assert isinstance(begun, Begun)
        engine = setting.engine(begun, knowledge)
        self.knowledge = knowledge
        self.scope = Scope(knowledge, engine.variant)
        self.hands = Hands(engine, self.scope)
        self.walk = self.first = walk_begun(knowledge, self.scope, self.hands)
        self.lines: list[LessonLine] = []
        self.ended = ""
        for event in events[1:]:
            self._add(event)

    def _add(self, event: PracticeEvent) -> None:
        if isinstance(event, Spoken):
            return
        closed = self._close_up(event)
        before, wrong = self.walk, set(self.hands.wrong())
        changes = len(self.hands.changes)
        line = self._done(event, before)
        in_vain = any(not one.helped and one.kind == "mend" for one in self.hands.changes[changes:])
        gone = tuple(sorted(wrong - set(self.hands.wrong())))
        line = line._replace(minutes=self.hands.minutes, put_right=gone, in_vain=in_vain)
        self.lines.append(line._replace(told=(*closed, *line.told)))

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
                return self._ran(line)
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
        hazards = feedback.running(self.walk, hands) if check.runs else ()
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
        return line._replace(told=told, hazards=hazards, seen=seen, answer=answer)

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
        hands = self.hands
        hazards = feedback.running(self.walk, hands)
        node = self._node("prepare", HEAT)
        hands.warm()
        head = hands.engine.head(hands.visits[HEAT])
        self._note(ev.Prepared(hands.now, HEAT, feedback.heat(self.scope, head), head, node=node))
        return line._replace(told=feedback.ran(self.scope, hands.engine, head), hazards=hazards, head=head)

    def _tried(self, line: LessonLine) -> LessonLine:
        """Try again. A cure that only hides what is wrong does not last, and the next complaint follows the first."""
        hands, running = self.hands, self.knowledge.symptoms[self.hands.complaints[-1]].retest.state in RUNNING
        hazards = feedback.running(self.walk, hands) if running else ()
        outcome = hands.try_again()
        again = hands.complains_again() if outcome == "cured" and hands.wrong() else None
        hides = outcome == "cured" and bool(hands.wrong()) and again is None
        if self.walk.state.retest:
            self._note(ev.Retested(hands.now, "same" if hides else outcome))  # type: ignore[arg-type]
        elif outcome == "cured" and not hides:
            self._note(ev.Retested(hands.now, "cured"))
        told = feedback.tried(self.knowledge, outcome, again, hides=hides)
        if outcome == "cured" and not hands.wrong():
            self.ended = CURED
        elif again is not None:
            self._next_complaint(again)
        return line._replace(told=told, hazards=hazards, outcome="hidden" if hides else outcome)

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
