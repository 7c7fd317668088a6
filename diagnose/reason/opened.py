"""What is open on the car: what steps took off and none has put back, and the guards that hang on it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.graph.model import CLOSE, Work
from diagnose.reason import events as ev

if TYPE_CHECKING:
    from diagnose.reason.scope import Scope
    from diagnose.reason.state import State

INCIDENTS = {"opened": "what-was-opened", "crashed": "what-a-crash-loosened"}
"""What may be open after something has happened that the walk did not see."""

LEAVES_OPEN = (ev.Answered, ev.Measured, ev.Deferred, ev.Happened)
"""What may have left something open, whether or not it was taken back since."""


def opened(scope: Scope, state: State, work: Work) -> None:
    """Note what this leaves open; both guards are owed again where it had something off that they look at."""
    state.open = work.open_after(state.open)
    if any(scope.knowledge.openings[name].guarded for name in work.takes_off):
        _guards_again(scope, state)


def _guards_again(scope: Scope, state: State) -> None:
    """Owe both guards again; what one of them found stays found."""
    for guard in scope.guards:
        given = state.answers.get(guard)
        if given is not None and scope.checks[guard].answers[given.answer].healthy:
            del state.answers[guard]
            state.asked.pop(guard, None)


def left(scope: Scope, state: State, event: ev.Event) -> None:
    """Note what an event left open. A look that could not be told may have been left half done."""
    match event:
        case ev.Answered(answer=ev.CANT_TELL):
            _half_done(scope, state, scope.checks[event.check])
        case ev.Answered(answer=ev.NO_TOOL) | ev.Answered(before=True):
            pass
        case ev.Answered() | ev.Measured():
            opened(scope, state, scope.checks[event.check])
        case ev.Deferred(begun=True):
            _half_done(scope, state, scope.faults[event.fault].mend)
        case ev.Happened() if (told := INCIDENTS.get(event.what, "")) in scope.knowledge.openings:
            state.open = tuple(dict.fromkeys((*state.open, told)))
        case _:
            pass


def _half_done(scope: Scope, state: State, work: Work) -> None:
    """Note that whatever this takes off may be off: it was begun, and nobody says that it was put back."""
    before = state.open
    opened(scope, state, work)
    state.open = tuple(dict.fromkeys((*before, *work.takes_off)))


def closed(scope: Scope, state: State, event: ev.Prepared) -> None:
    """Note that the car was closed up, or that this was put off."""
    if event.outcome != "ready":
        state.deferred.add(CLOSE)
        return
    if state.loose(scope):  # a guard that was looked at meanwhile saw the throttle as it no longer is
        _guards_again(scope, state)
    state.deferred.discard(CLOSE)
    state.open, state.bench = (), "parked"
