"""What people note of a car in their own words: a stream of the journal for each engine."""

from __future__ import annotations

from contextlib import suppress

import msgspec
from msgspec import Struct

from diagnose.errors import DiagnoseError
from diagnose.record.journal import Conflict, Journal, JournalError

NOTES = "notes/"
LONGEST = 2000
"""Signs: a note is read on a small screen, and by a pit mate."""


class CarNote(Struct, frozen=True):
    """One note; `at` in seconds since the epoch."""

    at: float
    text: str


_decoder = msgspec.json.Decoder(CarNote)


def notes(journal: Journal, engine: str) -> list[CarNote]:
    """Return the notes of an engine, oldest first; raises `JournalError` for one that can't be read."""
    try:
        return [_decoder.decode(body) for body in journal.read(f"{NOTES}{engine}")]
    except msgspec.DecodeError as error:
        raise JournalError(f"a note of '{engine}' can't be read: {error}") from error


def write_note(journal: Journal, engine: str, text: str, at: float) -> None:
    """Store a note; raises `DiagnoseError` for one that says nothing, or too much."""
    text = text.strip()
    if not text:
        raise DiagnoseError("the note is empty: say what you saw")
    if len(text) > LONGEST:
        raise DiagnoseError(f"the note has {len(text)} signs: {LONGEST} at most, or several notes")
    body = msgspec.json.encode(CarNote(at, text)).decode()
    stream = f"{NOTES}{engine}"
    while True:
        with suppress(Conflict):  # another window noted something as well: both stay
            journal.append(stream, len(journal.times(stream)), [body], at)
            return
