"""What the events of a walk have come to. A retracted event leaves no trace, since it is never folded in."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from diagnose.graph.model import Screw
from diagnose.reason import events as ev
from diagnose.reason.scope import Scope

IDLE = "let-it-idle"
"""The preparation that lets a head a little above its window come down into it."""

THERMOMETER = "thermometer"
"""The tool that a water drop stands in for."""

IDLES = 3
"""A head above its window idles down so often in a row, before the walk is handed over for it."""

ABOVE = "above"
"""The exit of a preparation that leaves the head above its window, while it may still idle down into it."""

NORMAL = "nothing is wrong"
"""The verdict that what it does is as it should be."""

HOT = "the head is above its stop temperature"
"""The grounding finding that cooling down lifts."""


class Given(Struct, frozen=True):
    """An answer that stands."""

    answer: str
    number: int
    at: float
    sure: bool = True
    carried: bool = False
    earlier: tuple[Given, ...] = ()
    """What the same check said before in this walk, oldest first, with no mend in between that could change it."""


class NodeResult(Struct, frozen=True):
    """How a node that does something came out: the exit that it took."""

    node: str
    exit: str


class State(Struct):
    """Everything that has happened, folded. Hours are signed: leaner (or out) negative, richer (or in) positive."""

    started: ev.Started
    answers: dict[str, Given] = {}
    unanswered: dict[str, str] = {}
    """Checks that could not be answered, and why."""
    asked: dict[str, int] = {}
    last: str = ""
    """The check that was answered last, while nothing else has come after it."""
    longest: float = 0.0
    """The longest line so far of the round that it stands in, in minutes."""
    sound: tuple[str, ...] = ()
    """The looks that came out healthy one after the other, with nothing else in between: their order is kept."""
    sound_since: tuple[str, str, float] = ("parked", "", 0.0)
    """The bench state, `last` and `longest` before them."""
    steps: int = 0
    """Steps that were made."""
    lost: int = 0
    """Looks that could not be told, in a row up to now."""
    told: dict[str, tuple[str, ...]] = {}
    """What was answered to the history questions; nothing to one that was skipped."""
    on_trial: list[str] = []
    """Faults mended since the last re-test."""
    mended: list[str] = []
    missing: set[str] = set()
    """Tools that somebody said are not there: no fault of theirs is looked for."""
    swapped: dict[str, str] = {}
    """Faults that a swap surely cured, and the kind of look that it was; and those whose mend was tried as one."""
    unchecked: set[str] = set()
    """Mended since the last re-test with no look after it: trying it again is the answer."""
    struck: set[str] = set()
    """Suspects no more: the symptom outlived their mend."""
    in_vain: set[str] = set()
    """Mended, but the check that showed them still does."""
    deferred: set[str] = set()
    recheck: list[str] = []
    """Checks to make again, since their fault was mended."""
    retest: str = ""
    """Why a re-test is due: ``mend``, ``adjust``, ``restore`` or ``both`` (mend and restore); empty when none is."""
    trying: str = ""
    """The node whose turn, or going back, is being tried."""
    following: dict[Screw, float] = {}
    """Screws that may have to follow the last turn, and their hours: the engine is listened to first."""
    asks_head: bool = False
    """A turn, or going back, cured it with the engine running: the head belongs to that tune."""
    undo: bool = False
    proof: str = ""
    """The sign that had opened a turn: it is gone, so they say, and that sign is looked at once more."""
    results: list[NodeResult] = []
    passed: dict[str, str] = {}
    """Branches taken on an answer that an adjustment has made too old to be a sign."""
    turned: dict[Screw, float] = {}
    explained: dict[Screw, float] = {}
    """Hours that air and fuel ask for since the last good tune, by the smaller estimate."""
    adjustments: list[ev.Adjusted] = []
    standing_turns: list[ev.Adjusted] = []
    """The adjustments that were not turned back, nor undone by going back to the record."""
    bettered: list[ev.Adjusted] = []
    """The adjustments after which it was better."""
    home: frozenset[Screw] = frozenset()
    """The screws that went back to the record in this walk."""
    grounds: dict[str, str] = {}
    """Grounding findings by check: only a sure answer of that check that does not ground lifts one."""
    came_ready: set[str] = set()
    """The preparations that have come ready since the last mend."""
    hot: bool = False
    """The head was read above its stop temperature, and has not cooled since."""
    cooled: int = 0
    """Times that it had to cool in a row."""
    drift: ev.Drift | None = None
    """The drift that the walk began with, while nothing has been done about what it points to."""
    heat: ev.Prepared | None = None
    """The last head reading since the engine was last started."""
    unasked: bool = False
    """Nobody answered for a while, and nobody has said yet what happened in it."""
    tries: int = 0
    """Attempts to bring it to heat that left it too cool, in a row."""
    idled: int = 0
    """Times that it idled and stayed above its window, in a row."""
    bench: str = "parked"
    open: tuple[str, ...] = ()
    """What steps took off or opened, and none has closed since, oldest first."""
    deadline: tuple[float, float] | None = None
    """When it was set, and the minutes."""
    verdict: str = ""
    because: str = ""
    cured_by: str = ""
    """What was being tried when it was cured, as in `retest`."""

    def healthy(self, scope: Scope, check: str) -> bool:
        """Say whether a healthy answer stands that opens the gate: outright, not "not quite sure"."""
        given = self.answers.get(check)
        return given is not None and given.sure and scope.checks[check].answers[given.answer].healthy

    def implied(self, scope: Scope) -> dict[str, str]:
        """Return the answers that others tell, of checks that nobody has answered: they are not asked, nor evidence."""
        found: dict[str, str] = {}
        for name, given in self.answers.items():
            if given.sure and not given.carried:
                found |= scope.checks[name].answers[given.answer].implies
        for name in self.came_ready:
            found |= scope.knowledge.preparations[name].implies
        return {name: said for name, said in found.items() if name in scope.checks and name not in self.answers}

    def looked_for(self, scope: Scope, look: str) -> frozenset[str]:
        """Return the hypotheses that checks of this kind have looked for, and the faults of which they are some."""
        found: set[str] = set()
        for check in self.answers:
            if scope.checks[check].look == look and self.healthy(scope, check):
                found |= scope.clears(check)
        for check, said in self.implied(scope).items():
            if scope.checks[check].look == look and said == scope.checks[check].healthy:
                found |= scope.clears(check)
        swapped = [fault for fault, kind in self.swapped.items() if kind == look]
        return frozenset(found.union(swapped, *map(scope.hypotheses, swapped), self.without(scope)))

    def without(self, scope: Scope) -> set[str]:
        """Return the faults, in all their forms, of tools that are not there."""
        if not self.missing:
            return set()
        gone = {name for name, fault in scope.faults.items() if fault.tool in self.missing}
        return gone.union(*map(scope.hypotheses, gone))

    def loose(self, scope: Scope) -> bool:
        """Say whether something is open that the guards look at."""
        return any(scope.knowledge.openings[name].guarded for name in self.open)

    def grounded(self) -> list[str]:
        """Return the grounding findings that are open."""
        return [
            *dict.fromkeys(self.grounds.values()),
            *([HOT] if self.hot and HOT not in self.grounds.values() else []),
        ]


def effective(events: Sequence[ev.Event]) -> list[tuple[int, ev.Event]]:
    """Return the events that stand, with their numbers: a retracted one, and the retraction, are gone."""
    gone = {
        event.number
        for number, event in enumerate(events)
        if isinstance(event, ev.Retracted) and not ev.counts_for_nothing(events, number)
    } | {event.number for event in events if isinstance(event, ev.Reopened)}
    return [(n, e) for n, e in enumerate(events) if n not in gone and not isinstance(e, ev.Retracted)]
