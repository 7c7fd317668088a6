"""How a person is led: one thing at a time, or on the whole bench. The newest choice counts."""

from __future__ import annotations

from contextlib import suppress

import msgspec
from msgspec import Struct

from diagnose.record.journal import Conflict, Journal

MANNER = "manner"


class Manner(Struct, frozen=True):
    """It was chosen to be led one thing at a time, or not to be."""

    at: float
    first_day: bool


_decoder = msgspec.json.Decoder(Manner)


def first_day(journal: Journal) -> bool | None:
    """Say whether first-day mode was chosen; None when nobody has chosen, or what was stored can't be read."""
    bodies = journal.read(MANNER)
    with suppress(msgspec.MsgspecError):
        return _decoder.decode(bodies[-1]).first_day if bodies else None
    return None


def write_first_day(journal: Journal, on: bool, at: float) -> None:
    """Store what was chosen; what was chosen before stays in the journal."""
    body = msgspec.json.encode(Manner(at, on)).decode()
    while True:
        with suppress(Conflict):  # another window chose as well: the one that comes last counts
            journal.append(MANNER, len(journal.times(MANNER)), [body], at)
            return
