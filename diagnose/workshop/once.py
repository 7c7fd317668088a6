"""What is sent twice counts once: an answer says how many events it was made from, and is compared with what came then.

A form that is sent again after a dropped connection, a second tap, and two phones at one walk are all the same case.
"""

from __future__ import annotations

from collections.abc import Callable

import msgspec

from diagnose.errors import DiagnoseError
from diagnose.reason import events as ev
from diagnose.reason.walk import Walk, replay
from diagnose.workshop.session import Session

Making = Callable[[Walk, float], ev.Event]
"""Makes the event of an answer, on the walk as it was when it was asked, at a time in seconds since the epoch."""

TOO_LATE = "This was answered already, in another way. Your answer was not saved. Here is where the walk is now."


class TooLate(DiagnoseError):  # noqa: N818 - what happened, not a fault
    """Another answer is stored there by now; this one was not."""


def record_at(session: Session, count: int, make: Making) -> bool:
    """Record the event that `make` gives on the walk of `count` events; say whether it was stored just now.

    False when the same is stored there already. Raises `TooLate` when something else is, and what `Session.record`
    raises.
    """
    session.catch_up()
    walk = session.walk
    if walk is None or not 0 < count <= len(walk.events):
        raise DiagnoseError("this answer belongs to no question of this walk")
    if count == len(walk.events):
        session.record(make(walk, session.clock()))
        return True
    stored = walk.events[count]
    try:
        again = make(replay(walk.knowledge, walk.events[:count]), stored.at)
    except DiagnoseError as error:
        raise TooLate(TOO_LATE) from error
    if _without_time(again) != _without_time(stored):
        raise TooLate(TOO_LATE)
    return False


def _without_time(event: ev.Event) -> ev.Event:
    return msgspec.structs.replace(event, at=0.0)
