"""The well cards: a stream of the journal for each engine, of which the newest card counts."""

from __future__ import annotations

from contextlib import suppress

import msgspec

from diagnose.errors import DiagnoseError
from diagnose.record.journal import Conflict, Journal, JournalError
from diagnose.tune.well import Card

CARDS = "card/"

_decoder = msgspec.json.Decoder(Card)


def card(journal: Journal, engine: str) -> Card | None:
    """Return the card of an engine, None when there is none; raises `JournalError` for one that can't be read."""
    bodies = journal.read(f"{CARDS}{engine}")
    try:
        return _decoder.decode(bodies[-1]) if bodies else None
    except (msgspec.DecodeError, DiagnoseError) as error:
        raise JournalError(f"the well card of '{engine}' can't be read: {error}") from error


def write_card(journal: Journal, engine: str, made: Card) -> None:
    """Store a card; the older ones stay in the journal."""
    body = msgspec.json.encode(made).decode()
    while True:
        with suppress(Conflict):  # another window stored one: the one that comes last counts
            stream = f"{CARDS}{engine}"
            journal.append(stream, len(journal.times(stream)), [body], made.at)
            return
