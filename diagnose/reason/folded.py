"""The fold: what the events of a walk come to, one after another."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from diagnose.graph.model import CLOSE
from diagnose.reason import events as ev
from diagnose.reason.done import followed, gone_back, joined, may_follow, mended, outdate_signs, retire, turn
from diagnose.reason.opened import LEAVES_OPEN, closed, left, opened
from diagnose.reason.order import in_a_row
from diagnose.reason.passing import another_day, passed
from diagnose.reason.scope import Scope
from diagnose.reason.state import ABOVE, HOT, IDLE, IDLES, NORMAL, THERMOMETER, Given, NodeResult, State, effective


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
            mended(scope, state, event.fault)
        case ev.Deferred():
            state.deferred.add(event.fault)
        case ev.Adjusted(follows=True):
            turn(state, event, 1)
            state.following = {}
            joined(state, event)
        case ev.Listened():
            state.following = {}
        case ev.HeadRead():
            state.asks_head = False
        case ev.Adjusted():
            turn(state, event, 1)
            state.following = may_follow(scope, state, event)
            state.adjustments.append(event)
            state.standing_turns.append(event)
            state.retest, state.trying = "adjust", event.node
            outdate_signs(scope, state, (event.screw,))
            followed(state)
        case ev.Undone():
            state.following = {}
            if state.standing_turns:
                turn(state, state.standing_turns.pop(), -1)
            state.undo = False
            if state.retest == "adjust":  # there is nothing left to try
                state.retest = ""
        case ev.Restored():
            state.following = {}
            gone_back(state, event.screws)
            state.home |= frozenset(event.screws)
            state.heat = None
            state.retest, state.trying = "both" if state.retest == "mend" else "restore", event.node
            outdate_signs(scope, state, event.screws, moved=True)
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
        retire(scope, state, said.mends)
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
        state.verdict, state.because, state.cured_by = "cured", _cured_by(cause), cause
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
