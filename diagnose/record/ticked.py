"""What was ticked as sound before a walk asked for it: a stream of the journal for each engine."""

from __future__ import annotations

from contextlib import suppress

import msgspec
from msgspec import Struct

from diagnose.record.journal import Conflict, Journal, JournalError

TICKED = "ticked/"


class Tick(Struct, frozen=True):
    """A check that was looked at and found sound; `at` in seconds since the epoch."""

    at: float
    check: str


_decoder = msgspec.json.Decoder(Tick)


def tick(journal: Journal, engine: str, check: str, at: float) -> None:
    """Store that a check was sound."""
    stream, body = f"{TICKED}{engine}", msgspec.json.encode(Tick(at, check)).decode()
    while True:
        with suppress(Conflict):  # another window ticked something as well: both stay
            journal.append(stream, len(journal.times(stream)), [body], at)
            return


def ticked(journal: Journal, engine: str, since: float) -> dict[str, float]:
    """Return the checks that were ticked after `since`, each with when it was last; raises `JournalError`."""
    try:
        found = [_decoder.decode(body) for body in journal.read(f"{TICKED}{engine}")]
    except msgspec.DecodeError as error:
        raise JournalError(f"what was ticked for '{engine}' can't be read: {error}") from error
    return {one.check: one.at for one in found if one.at > since}
