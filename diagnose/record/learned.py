"""What was taken over from the outings: a stream of the journal, of which the newest entry counts."""

from __future__ import annotations

from contextlib import suppress

import msgspec
from msgspec import Struct

from diagnose.reason.learned import Learned
from diagnose.record.journal import Conflict, Journal

LEARNED = "learned"


class Taken(Struct, frozen=True, omit_defaults=True):
    """Weights were taken over, `at` in seconds since the epoch; without them those of the files count again."""

    at: float
    learned: Learned | None = None


_decoder = msgspec.json.Decoder(Taken)


def learned(journal: Journal) -> Learned | None:
    """Return what walks begin with now, None for the files' weights: they count as well where it can't be read."""
    bodies = journal.read(LEARNED)
    try:
        return _decoder.decode(bodies[-1]).learned if bodies else None
    except msgspec.DecodeError:
        return None


def take(journal: Journal, made: Learned | None, at: float) -> None:
    """Store what walks begin with from now on, None for the files' weights; the older entries stay."""
    body = msgspec.json.encode(Taken(at, made)).decode()
    while True:
        with suppress(Conflict):  # another window stored one: the one that comes last counts
            journal.append(LEARNED, len(journal.times(LEARNED)), [body], at)
            return
