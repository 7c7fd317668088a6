"""The well cards: a stream of the journal for each engine, of which the newest card counts that was not taken back."""

from __future__ import annotations

from contextlib import suppress

import msgspec

from diagnose.errors import DiagnoseError
from diagnose.record.journal import Conflict, Journal, JournalError
from diagnose.tune.well import Card

CARDS = "card/"

_decoder: msgspec.json.Decoder[Card] = msgspec.json.Decoder(Card)
TAKEN_BACK = "null"
"""Stands in the stream behind a card that was taken back."""


def card(journal: Journal, engine: str) -> Card | None:
    """Return the card of an engine, None when there is none; raises `JournalError` for one that can't be read."""
    back = 0
    for body in reversed(journal.read(f"{CARDS}{engine}")):
        if body == TAKEN_BACK:
            back += 1
        elif back:
            back -= 1
        else:
            return _read(engine, body)
    return None


def _read(engine: str, body: str) -> Card:
    try:
        return _decoder.decode(body)
    except (msgspec.DecodeError, DiagnoseError) as error:
        raise JournalError(f"the well card of '{engine}' can't be read: {error}") from error


def write_card(journal: Journal, engine: str, made: Card) -> None:
    """Store a card; the older ones stay in the journal."""
    _store(journal, engine, msgspec.json.encode(made).decode(), made.at)


def take_back_card(journal: Journal, engine: str, at: float) -> None:
    """Take the newest card back: the one before it counts again, if there is one."""
    _store(journal, engine, TAKEN_BACK, at)


def _store(journal: Journal, engine: str, body: str, at: float) -> None:
    while True:
        with suppress(Conflict):  # another window stored one: the one that comes last counts
            stream = f"{CARDS}{engine}"
            journal.append(stream, len(journal.times(stream)), [body], at)
            return
