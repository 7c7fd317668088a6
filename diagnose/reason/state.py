"""The fold: what the events of a walk come to. A retracted event leaves no trace, since it is never folded in."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from diagnose.graph.model import CLOSE, Adjust, Check, Mend, Screw, fault_of, signed
from diagnose.reason import events as ev
from diagnose.reason.opened import LEAVES_OPEN, closed, left, opened
from diagnose.reason.order import in_a_row
from diagnose.reason.passing import another_day, passed
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


def folded(scope: Scope, events: Sequence[ev.Event]) -> State:
    """Fold the events, of which the first is `Started`."""
    started = events[0]
    assert isinstance(started, ev.Started)
    state = State(
        started,
        turned=dict(started.turned),
        explained=dict(started.explained),
        drift=started.drift,
        open=tuple(name for name in started.open if name in scope.knowledge.openings),
    )
    for carried in started.carried:
        check = scope.checks.get(carried.check)
        known = check is not None and carried.answer in check.answers
        if check is not None and known and check.answers[carried.answer].healthy and not check.guard:
            state.answers[carried.check] = Given(carried.answer, 0, carried.at, carried=True)
    for found in started.found:
        check = scope.checks.get(found.check)
        if check is not None and found.answer in check.answers:
            state.answers[found.check] = Given(found.answer, 0, found.at, carried=True)
            if grounds := check.answers[found.answer].grounds:
                state.grounds[found.check] = grounds
    standing, before = dict(effective(events)), started.at
    for number, event in enumerate(events):
        passed(scope, state, event.at - before, event)
        before = event.at if ev.tells_of_the_car(event) else before
        if number in standing or isinstance(event, LEAVES_OPEN):  # taking back an answer puts no part back
            left(scope, state, event)
        if number in standing:
            _fold(scope, state, number, event)
    return state


def _fold(scope: Scope, state: State, number: int, event: ev.Event) -> None:
    state.steps += isinstance(event, ev.STEPPED)
    if isinstance(event, (*ev.STEPPED, ev.Happened)) and not ev.told_only(event):
        last = event.check if isinstance(event, (ev.Answered, ev.Measured)) else ""
        before = scope.look(state.last) if state.last else None
        state.longest = in_a_row(scope.look(last), before, state.longest)[1] if last else 0.0
        state.last = last
    asked = len(state.answers)
    _took_place(scope, state, number, event)
    match event:
        case ev.Answered() | ev.Measured() if len(state.answers) > asked and state.healthy(scope, event.check):
            state.sound = (*state.sound, event.check)
        case ev.Noted() | ev.Deadline():
            pass
        case ev.Prepared(outcome="ready") if event.preparation == CLOSE:
            pass
        case _:
            state.sound, state.sound_since = (), (state.bench, state.last, state.longest)


def _took_place(scope: Scope, state: State, number: int, event: ev.Event) -> None:
    match event:
        case ev.Told():
            state.told[event.question] = event.said
        case ev.Answered():
            if event.before:
                _told_of(scope, state, number, event)
            else:
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
        case ev.Adjusted(follows=True):
            _turn(state, event, 1)
            state.following = {}
            _joined(state, event)
        case ev.Listened():
            state.following = {}
        case ev.HeadRead():
            state.asks_head = False
        case ev.Adjusted():
            _turn(state, event, 1)
            state.following = _may_follow(scope, state, event)
            state.adjustments.append(event)
            state.standing_turns.append(event)
            state.retest, state.trying = "adjust", event.node
            _outdate_signs(scope, state, (event.screw,))
            _followed(state)
        case ev.Undone():
            state.following = {}
            if state.standing_turns:
                _turn(state, state.standing_turns.pop(), -1)
            state.undo = False
            if state.retest == "adjust":  # there is nothing left to try
                state.retest = ""
        case ev.Restored():
            state.following = {}
            _gone_back(state, event.screws)
            state.home |= frozenset(event.screws)
            state.heat = None
            state.retest, state.trying = "both" if state.retest == "mend" else "restore", event.node
            _outdate_signs(scope, state, event.screws, moved=True)
        case ev.Retested():
            state.following = {}
            retest = scope.knowledge.symptoms[event.symptom or state.started.symptom].retest
            opened(scope, state, retest)
            _retested(scope, state, event.outcome)
        case ev.Happened():
            _happened(scope, state, event)
        case ev.Redirected():
            state.started = replace(state.started, symptom=event.symptom)
            state.results, state.passed, state.trying = [], {}, ""
        case ev.Deadline():
            state.deadline = None if event.minutes is None else (event.at, event.minutes)
        case ev.HandedOver():
            state.verdict, state.because = "handed over", event.because
        case ev.FoundNormal():
            state.verdict, state.because = NORMAL, event.because
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
    _tools(scope, state, name, there=answer != ev.NO_TOOL)
    state.lost = state.lost + 1 if answer == ev.CANT_TELL else 0
    if answer in ev.NOT_ANSWERS:
        state.unanswered[name] = answer
        state.answers.pop(name, None)
        _proven(state, name, answer, sure)
        if name in state.recheck:
            state.recheck.remove(name)
            _when_rechecked(state)
        return
    state.unanswered.pop(name, None)
    before = state.answers.get(name)
    _proven(state, name, answer, sure)
    put_off = before is not None and not state.deferred.isdisjoint(check.answers[before.answer].names)
    earlier = (*before.earlier, before) if before is not None and not before.carried else ()
    state.answers[name] = Given(answer, number, at, sure, earlier=earlier)
    said = check.answers[answer]
    if said.grounds:
        state.grounds[name] = said.grounds
    elif sure and (said.healthy or not put_off):  # what was put off is still there, whatever else is found
        state.grounds.pop(name, None)
    swap = scope.swaps(name)
    if said.mends:
        state.answers.pop(name)
        if sure:
            state.swapped[said.mends] = check.look
        _retire(scope, state, said.mends)
        state.mended.append(said.mends)
        state.on_trial.append(said.mends)
        state.retest = "mend"
    elif swap and said.healthy and sure:
        state.struck.add(swap)
    if name in state.recheck and not (not said.healthy and state.asked[name] < 2 and check.look == "first"):
        state.recheck.remove(name)
        if said.healthy:
            _when_rechecked(state)
        else:  # what still shows it was not cured by that mend; what shows something else is another finding
            named = [fault for fault in state.on_trial if fault in said.names]
            state.struck.update(named)
            state.in_vain.update(named)
            state.on_trial = [fault for fault in state.on_trial if fault not in named]
            _when_rechecked(state)


def _told_of(scope: Scope, state: State, number: int, event: ev.Answered) -> None:
    """Take down what was seen before: nobody is sure that it is still so, and the car stands as it stood."""
    said = scope.checks[event.check].answers[event.answer]
    before = state.answers.get(event.check)
    earlier = (*before.earlier, before) if before is not None and not before.carried else ()
    state.answers[event.check] = Given(event.answer, number, event.at, sure=False, earlier=earlier)
    if said.grounds:
        state.grounds[event.check] = said.grounds


def _tools(scope: Scope, state: State, check: str, *, there: bool) -> None:
    """Note whether the tools are there whose own faults a check can show."""
    own = {tool for fault in scope.clears(check) if fault in scope.faults and (tool := scope.faults[fault].tool)}
    state.missing = state.missing - own if there else state.missing | own


def _when_rechecked(state: State) -> None:
    if not state.recheck and state.on_trial:
        state.retest = "mend"


def _mended(scope: Scope, state: State, fault: str) -> None:
    accusing = [
        name
        for name, given in state.answers.items()
        if fault in scope.checks[name].answers[given.answer].names
        and not scope.checks[name].answers[given.answer].healthy
        and not scope.checks[name].remembered
    ]
    mend = scope.faults[fault].mend
    opened(scope, state, mend)
    state.mended.append(fault)
    state.on_trial.append(fault)
    state.came_ready = set()
    state.deferred.discard(fault)
    state.heat = None
    state.bench = mend.state
    screw = scope.faults[fault].screw
    if mend.back and screw is not None:
        _gone_back(state, (screw,))
    _retire(scope, state, fault)
    # the check that shows it best is made again; the others are owed again by themselves
    accusing.sort(key=lambda name: (-scope.shown(name).of(fault), name))
    grounding = [name for name in state.grounds if name not in state.answers and name not in accusing[:1]]
    again = accusing[:1]
    if again and again[0] not in state.grounds and _opens_again(scope.checks[again[0]], mend):
        again = []  # trying it tells the same
    state.recheck = [*again, *grounding]
    if not state.recheck and (mend.retest_tells or _remembered(scope, state, fault)):
        state.unchecked.add(fault)
    state.retest = "" if state.recheck else "mend"


def _remembered(scope: Scope, state: State, fault: str) -> bool:
    """Say whether what was remembered accuses a fault: it is asked once, so only trying it tells what its mend did."""
    return any(
        scope.checks[name].remembered and fault in scope.checks[name].answers[given.answer].names
        for name, given in state.answers.items()
    )


def _opens_again(check: Check, mend: Mend) -> bool:
    """Say whether a look after a mend would open once more what was closed just now."""
    return check.look == "strip" or (mend.retest_tells and not set(check.takes_off).isdisjoint(mend.puts_back))


def _gone_back(state: State, screws: Sequence[Screw]) -> None:
    """Count screws from the record again: going back has reckoned with the day."""
    for screw in screws:
        state.turned.pop(screw, None)
        state.explained.pop(screw, None)
    state.standing_turns = [turn for turn in state.standing_turns if turn.screw not in screws]
    state.undo = state.undo and bool(state.standing_turns)
    _followed(state)


def _retire(scope: Scope, state: State, fault: str) -> None:
    """Drop what the fault could explain, and what the mend disturbs: it is owed again."""
    touched = set(scope.faults[fault].mend.touches)
    for name, given in list(state.answers.items()):
        check = scope.checks[name]
        if check.remembered:
            continue
        answer = check.answers[given.answer]
        explained = not answer.healthy and fault in answer.names
        about = {scope.faults[fault_of(shown)].area for shown in scope.clears(name)}
        guarded = bool(check.guard) and not touched.isdisjoint(scope.guarded_areas)
        if explained or guarded or about & touched:
            del state.answers[name]
            state.asked.pop(name, None)
    if state.drift is not None and (shown := scope.drifted(state.drift)).of(fault) > shown.otherwise:
        state.drift = None
    for name in list(state.passed):
        if {scope.faults[fault_of(shown)].area for shown in scope.clears(name)} & touched:
            del state.passed[name]


def _followed(state: State) -> None:
    """Drop a drift that said how the needle stands against the day: it stands elsewhere now."""
    if state.drift is not None and state.drift.setting:
        state.drift = None


def _opening_sign(scope: Scope, state: State) -> str:
    """Return the quickest look at the running engine that was a sign of lean for the last turn; "" for none.

    After a turn leaner nothing more is asked: what may be left is on the rich side, which is the safer.
    """
    turn = state.standing_turns[-1]
    signs = [
        name
        for name, answer in state.passed.items()
        if scope.checks[name].answers[answer].sign.get(turn.screw) == "lean" and scope.runs(scope.checks[name].state)
    ]
    return min(signs, key=lambda name: (scope.checks[name].minutes, name), default="")


def _proven(state: State, name: str, answer: str, sure: bool) -> None:
    """Take the sign that had opened a turn: where it still shows, the turn helped and did not cure."""
    before = state.passed.pop(name, None)
    if name != state.proof:
        return
    state.proof = ""
    if answer == before and sure:
        state.results.append(NodeResult(state.trying, "better"))
        state.bettered.append(state.standing_turns[-1])
    else:
        state.verdict, state.because, state.asks_head = "cured", _cured_by("adjust"), True


def _retested(scope: Scope, state: State, outcome: str) -> None:
    cause, state.retest, state.bench = state.retest, "", "running on the stand"
    if outcome == "cured" and cause == "adjust" and (sign := _opening_sign(scope, state)):
        state.proof = sign
        return
    if outcome == "cured":
        state.verdict, state.because = "cured", _cured_by(cause)
        back = any(scope.faults[fault].mend.back for fault in state.on_trial)
        retest = scope.knowledge.symptoms[state.started.symptom].retest
        state.asks_head = retest.engine == "running" and (back or cause in ("adjust", "restore", "both"))
        return
    state.heat = None  # it was started again for it
    if cause in ("mend", "both"):
        state.struck.update(state.on_trial)
        state.swapped |= dict.fromkeys(state.unchecked.intersection(state.on_trial), "first")
        state.on_trial, state.unchecked = [], set()
    if cause == "adjust":
        state.results.append(NodeResult(state.trying, outcome))
        in_vain = outcome == "same" and bool(state.standing_turns) and state.standing_turns[-1].way == "leaner"
        state.undo = in_vain or (outcome == "worse" and bool(state.standing_turns))
        if outcome == "better" and state.standing_turns:
            state.bettered.append(state.standing_turns[-1])
    elif cause in ("restore", "both"):
        state.results.append(NodeResult(state.trying, "then"))


def _outdate_signs(scope: Scope, state: State, screws: Sequence[Screw], *, moved: bool = False) -> None:
    """Drop the answers that speak of how screws stood before they were turned, or went back (`moved`).

    What was remembered is as it was: it is not asked again.
    """
    for name, given in list(state.answers.items()):
        if scope.checks[name].remembered:
            continue
        signs = scope.checks[name].answers[given.answer].sign
        if not signs.keys().isdisjoint(screws) or (moved and scope.says_moved(name, given.answer)):
            state.passed[name] = given.answer
            del state.answers[name]


def _cured_by(cause: str) -> str:
    cured = {"mend": "the mend", "adjust": "the adjustment", "restore": "going back", "both": "the mend and going back"}
    return f"{cured[cause]} cured it" if cause in cured else "it is gone"


def _prepared(scope: Scope, state: State, event: ev.Prepared) -> None:
    prepared = scope.knowledge.preparations[event.preparation]
    if event.preparation == CLOSE:
        closed(scope, state, event)
        return
    opened(scope, state, prepared)
    state.bench = prepared.state
    if event.outcome == "ready":
        state.came_ready.add(event.preparation)
    if prepared.head:
        _read_head(scope, state, event)
    exits = {"ready": "then"}
    if prepared.head and event.outcome == "too hot" and not state.hot and state.idled < IDLES:
        exits["too hot"] = ABOVE
    state.results.append(NodeResult(event.node, exits.get(event.outcome, event.outcome)))
    if prepared.head:
        return
    if prepared.state == "cooling":
        state.heat = None
        state.cooled += 1
        if event.outcome != "ready":
            state.deferred.add(event.preparation)
            return
        state.deferred.discard(event.preparation)
        state.hot = False
        for check in [name for name, finding in state.grounds.items() if finding == HOT]:
            del state.grounds[check]
            state.answers.pop(check, None)


def _read_head(scope: Scope, state: State, event: ev.Prepared) -> None:
    state.heat = event
    if event.drop:
        state.missing = state.missing | {THERMOMETER}
    elif event.head is not None:
        state.missing = state.missing - {THERMOMETER}
    if event.head is not None:
        state.hot = event.head >= scope.degrees("head-stop")
    match event.outcome:
        case "ready":
            state.tries = state.idled = state.cooled = 0
        case "too hot":
            state.idled += event.preparation == IDLE
        case _:
            state.tries += 1


def _turn(state: State, adjusted: ev.Adjusted, sign: int) -> None:
    moves = {adjusted.screw: signed(adjusted.way, adjusted.hours), **adjusted.follow}
    for screw, hours in moves.items():
        state.turned[screw] = state.turned.get(screw, 0.0) + sign * hours


def _may_follow(scope: Scope, state: State, event: ev.Adjusted) -> dict[Screw, float]:
    """Return which screws may follow a turn, in signed hours; none where they went with it, as in older walks."""
    node = scope.knowledge.symptoms[state.started.symptom].route.get(event.node)
    if event.follow or not isinstance(node, Adjust):
        return {}
    part = event.hours / node.hours
    return {screw: signed(follow.way, follow.hours * part) for screw, follow in node.follow.items()}


def _joined(state: State, event: ev.Adjusted) -> None:
    """Count a screw that follows to its turn: both are turned back together, and it is one adjustment."""
    hours = signed(event.way, event.hours)
    for turns in (state.adjustments, state.standing_turns):
        if turns:
            turns[-1] = replace(turns[-1], follow={**turns[-1].follow, event.screw: hours})


def _happened(scope: Scope, state: State, event: ev.Happened) -> None:
    """Drop the healthy answers that have gone stale; what was found wrong stays wrong."""
    state.heat, state.unasked = None, False
    if event.what == "another day":
        another_day(scope, state, event.today)
        return
    stale: set[str] = {
        "nothing": set[str](),
        "started": {"start"},
        "refuelled": {"start", "tank"},
        "opened": {"start", "tank", "outing", "day"},
        "crashed": {"start", "tank", "outing", "day"},
    }[event.what]
    for name in list(state.answers):
        if scope.checks[name].good_for in stale and scope.checks[name].answers[state.answers[name].answer].healthy:
            del state.answers[name]
