"""What hands do to the engine in a walk, and which answers that makes old: mends, turns, and going back."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from diagnose.graph.model import Adjust, Check, Mend, Screw, fault_of, signed
from diagnose.reason import events as ev
from diagnose.reason.opened import opened
from diagnose.reason.scope import Scope
from diagnose.reason.state import State


def mended(scope: Scope, state: State, fault: str) -> None:
    """Put a fault right: what could show it is looked at again, or it is tried."""
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
        gone_back(state, (screw,))
    retire(scope, state, fault)
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


def retire(scope: Scope, state: State, fault: str) -> None:
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


def turn(state: State, adjusted: ev.Adjusted, sign: int) -> None:
    """Count the hours of a turn, or take them back where `sign` is -1."""
    moves = {adjusted.screw: signed(adjusted.way, adjusted.hours), **adjusted.follow}
    for screw, hours in moves.items():
        state.turned[screw] = state.turned.get(screw, 0.0) + sign * hours


def may_follow(scope: Scope, state: State, event: ev.Adjusted) -> dict[Screw, float]:
    """Return which screws may follow a turn, in signed hours; none where they went with it, as in older walks."""
    node = scope.knowledge.symptoms[state.started.symptom].route.get(event.node)
    if event.follow or not isinstance(node, Adjust):
        return {}
    part = event.hours / node.hours
    return {screw: signed(follow.way, follow.hours * part) for screw, follow in node.follow.items()}


def joined(state: State, event: ev.Adjusted) -> None:
    """Count a screw that follows to its turn: both are turned back together, and it is one adjustment."""
    hours = signed(event.way, event.hours)
    for turns in (state.adjustments, state.standing_turns):
        if turns:
            turns[-1] = replace(turns[-1], follow={**turns[-1].follow, event.screw: hours})


def gone_back(state: State, screws: Sequence[Screw]) -> None:
    """Count screws from the record again: going back has reckoned with the day."""
    for screw in screws:
        state.turned.pop(screw, None)
        state.explained.pop(screw, None)
    state.standing_turns = [turn for turn in state.standing_turns if turn.screw not in screws]
    state.undo = state.undo and bool(state.standing_turns)
    followed(state)


def followed(state: State) -> None:
    """Drop a drift that said how the needle stands against the day: it stands elsewhere now."""
    if state.drift is not None and state.drift.setting:
        state.drift = None


def outdate_signs(scope: Scope, state: State, screws: Sequence[Screw], *, moved: bool = False) -> None:
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
