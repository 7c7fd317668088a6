"""The fold: what the events of a walk come to. A retracted event leaves no trace, since it is never folded in."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from diagnose.graph.model import Screw, Way
from diagnose.reason import events as ev
from diagnose.reason.scope import Scope

SAFE_AREAS = frozenset({"radio", "battery", "servo", "linkage", "carburettor"})
"""A mend that touches one of these makes both guards owed again."""


class Given(Struct, frozen=True):
    """An answer that stands."""

    answer: str
    number: int
    at: float
    sure: bool = True
    carried: bool = False


class Result(Struct, frozen=True):
    """How a node that does something (``adjust`` or ``prepare``) came out: the exit that it took."""

    kind: str
    exit: str


class State(Struct):
    """Everything that has happened, folded. Hours are signed: leaner (or out) negative, richer (or in) positive."""

    started: ev.Started
    now: float = 0.0
    answers: dict[str, Given] = {}
    unanswered: dict[str, str] = {}
    """Checks that could not be answered, and why."""
    asked: dict[str, int] = {}
    told: dict[str, str] = {}
    on_trial: list[str] = []
    """Faults mended since the last re-test."""
    mended: list[str] = []
    swapped: set[str] = set()
    struck: set[str] = set()
    """Suspects no more: the symptom outlived their mend."""
    in_vain: set[str] = set()
    """Mended, but the check that showed them still does."""
    deferred: set[str] = set()
    recheck: list[str] = []
    """Checks to make again, since their fault was mended."""
    retest: str = ""
    """Why a re-test is due: ``mend``, ``adjust`` or ``restore``; empty when none is."""
    undo: bool = False
    results: list[Result] = []
    turned: dict[Screw, float] = {}
    adjustments: list[ev.Adjusted] = []
    heat: ev.Prepared | None = None
    """The last head reading since the engine was last started."""
    tries: int = 0
    """Attempts to bring it to heat that did not, in a row."""
    bench: str = "parked"
    deadline: tuple[float, float] | None = None
    """When it was set, and the minutes."""
    verdict: str = ""
    because: str = ""

    def healthy(self, scope: Scope, check: str) -> bool:
        """Say whether a healthy answer stands that opens the gate: outright, not "not quite sure"."""
        given = self.answers.get(check)
        return given is not None and given.sure and scope.checks[check].answers[given.answer].healthy

    def looked_for(self, scope: Scope, look: str) -> frozenset[str]:
        """Return the faults that checks of this kind have looked for."""
        found: set[str] = set()
        for check in self.answers:
            if scope.checks[check].look == look and self.healthy(scope, check):
                found |= scope.clears(check)
        return frozenset(found | self.swapped)

    def grounded(self, scope: Scope) -> list[str]:
        """Return the grounding findings that are open."""
        found = [
            str(scope.checks[check].answers[given.answer].grounds)
            for check, given in self.answers.items()
            if scope.checks[check].answers[given.answer].grounds
        ]
        if self.heat is not None and self.heat.head is not None and self.heat.head >= scope.degrees("head-stop"):
            found.append("the head is above its stop temperature")
        return found


def effective(events: Sequence[ev.Event]) -> list[tuple[int, ev.Event]]:
    """Return the events that stand, with their numbers: a retracted one, and the retraction, are gone."""
    gone = {event.number for event in events if isinstance(event, ev.Retracted)}
    return [(n, e) for n, e in enumerate(events) if n not in gone and not isinstance(e, ev.Retracted)]


def folded(scope: Scope, events: Sequence[ev.Event]) -> State:
    """Fold the events, of which the first is `Started`."""
    started = events[0]
    assert isinstance(started, ev.Started)
    state = State(started, now=started.at, turned=dict(started.turned))
    for carried in started.carried:
        check = scope.checks.get(carried.check)
        if check is not None and carried.answer in check.answers and check.answers[carried.answer].healthy:
            state.answers[carried.check] = Given(carried.answer, 0, carried.at, carried=True)
    for number, event in effective(events):
        state.now = event.at
        _fold(scope, state, number, event)
    return state


def _fold(scope: Scope, state: State, number: int, event: ev.Event) -> None:
    match event:
        case ev.Told():
            state.told[event.question] = event.answer
        case ev.Answered():
            _answered(scope, state, number, event.check, event.answer, event.sure, event.at)
        case ev.Measured():
            answer = scope.knowledge.band(scope.checks[event.check], event.value, scope.engine)
            _answered(scope, state, number, event.check, answer, True, event.at)
        case ev.Prepared():
            _prepared(scope, state, event)
        case ev.Mended():
            _mended(scope, state, event.fault)
        case ev.Deferred():
            state.deferred.add(event.fault)
        case ev.Adjusted():
            _turn(state, event, 1)
            state.adjustments.append(event)
            state.retest = "adjust"
        case ev.Undone():
            _turn(state, state.adjustments[-1], -1)
            state.undo = False
        case ev.Restored():
            state.turned = {}
            state.heat = None
            state.retest = "restore"
        case ev.Retested():
            _retested(state, event.outcome)
        case ev.Happened():
            _happened(scope, state, event.what)
        case ev.Deadline():
            state.deadline = None if event.minutes is None else (event.at, event.minutes)
        case ev.HandedOver():
            state.verdict, state.because = "handed over", event.because
        case ev.Ended():
            state.verdict, state.because = "stopped", "you stopped here"
        case _:
            pass


def _answered(scope: Scope, state: State, number: int, name: str, answer: str, sure: bool, at: float) -> None:
    check = scope.checks[name]
    state.bench = check.state
    if check.state != "warm":
        state.heat = None
    state.asked[name] = state.asked.get(name, 0) + 1
    if answer in ev.NOT_ANSWERS:
        state.unanswered[name] = answer
        state.answers.pop(name, None)
        if name in state.recheck:
            state.recheck.remove(name)
            _when_rechecked(state)
        return
    state.unanswered.pop(name, None)
    state.answers[name] = Given(answer, number, at, sure)
    said = check.answers[answer]
    swap = scope.swaps(name)
    if said.mends:
        state.answers.pop(name)
        state.swapped.add(said.mends)
        _retire(scope, state, said.mends)
        state.mended.append(said.mends)
        state.on_trial.append(said.mends)
        state.retest = "mend"
    elif swap and said.healthy and sure:
        state.struck.add(swap)
    if name in state.recheck:
        state.recheck.remove(name)
        if said.healthy:
            _when_rechecked(state)
        else:  # the mend did not cure what the check shows: it was not this fault
            named = [fault for fault in state.on_trial if fault in check.named()]
            state.struck.update(named)
            state.in_vain.update(named)
            state.on_trial = [fault for fault in state.on_trial if fault not in named]


def _when_rechecked(state: State) -> None:
    if not state.recheck and state.on_trial:
        state.retest = "mend"


def _mended(scope: Scope, state: State, fault: str) -> None:
    accusing = [
        name
        for name, given in state.answers.items()
        if fault in scope.checks[name].answers[given.answer].given
        and not scope.checks[name].answers[given.answer].healthy
    ]
    mend = scope.faults[fault].mend
    state.mended.append(fault)
    state.on_trial.append(fault)
    state.deferred.discard(fault)
    state.heat = None
    state.bench = mend.state
    if mend.back:
        state.turned = {}
    _retire(scope, state, fault)
    # the check that shows it best is made again; the others are owed again by themselves
    accusing.sort(key=lambda name: (-scope.shown(name).of(fault), name))
    state.recheck = accusing[:1]
    state.retest = "" if state.recheck else "mend"


def _retire(scope: Scope, state: State, fault: str) -> None:
    """Drop what the fault could explain, and what the mend disturbs: it is owed again."""
    touched = set(scope.faults[fault].mend.touches)
    for name, given in list(state.answers.items()):
        check = scope.checks[name]
        answer = check.answers[given.answer]
        explained = not answer.healthy and fault in answer.given
        about = {scope.faults[shown].area for shown in scope.clears(name)}
        guarded = bool(check.guard) and bool(touched & SAFE_AREAS)
        if explained or guarded or about & touched:
            del state.answers[name]


def _retested(state: State, outcome: str) -> None:
    cause, state.retest, state.bench = state.retest, "", "running on the stand"
    if outcome == "cured":
        state.verdict, state.because = "cured", _cured_by(cause)
        return
    state.heat = None if cause != "adjust" else state.heat
    if cause == "mend":
        state.struck.update(state.on_trial)
        state.on_trial = []
    elif cause == "adjust":
        state.results.append(Result("adjust", outcome))
        state.undo = outcome == "worse"
    elif cause == "restore":
        state.results.append(Result("prepare", "then"))


def _cured_by(cause: str) -> str:
    return {"mend": "the mend cured it", "adjust": "the adjustment cured it"}.get(cause, "going back cured it")


def _prepared(scope: Scope, state: State, event: ev.Prepared) -> None:
    prepared = scope.knowledge.preparations[event.preparation]
    state.bench = prepared.state
    if prepared.head:
        state.heat = event
        state.tries = 0 if event.outcome == "ready" else state.tries + 1
    elif prepared.state == "cooling":
        state.heat = None
    else:
        exits = {"ready": "then"}
        state.results.append(Result("prepare", exits.get(event.outcome, event.outcome)))


def _turn(state: State, adjusted: ev.Adjusted, sign: int) -> None:
    moves = {adjusted.screw: signed(adjusted.way, adjusted.hours), **adjusted.follow}
    for screw, hours in moves.items():
        state.turned[screw] = state.turned.get(screw, 0.0) + sign * hours


def signed(way: Way, hours: float) -> float:
    """Return hours with their sign: leaner and out are negative."""
    return hours if way in ("richer", "in") else -hours


def _happened(scope: Scope, state: State, what: ev.Incident) -> None:
    """Drop the answers that have gone stale."""
    stale = {
        "started": {"start"},
        "refuelled": {"start", "tank"},
        "opened": {"start", "tank", "outing", "day"},
        "crashed": {"start", "tank", "outing", "day"},
    }[what]
    for name in list(state.answers):
        if scope.checks[name].good_for in stale:
            del state.answers[name]
    state.heat = None
