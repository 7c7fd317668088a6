"""What people note of a car in their own words: a stream of the journal for each engine."""

from __future__ import annotations

import unicodedata
from contextlib import suppress

import msgspec
from msgspec import Struct

from diagnose.errors import DiagnoseError
from diagnose.record.journal import Conflict, Journal, JournalError

NOTES = "notes/"
LONGEST = 2000
"""Signs: a note is read on a small screen, and by a pit mate."""


class CarNote(Struct, frozen=True, omit_defaults=True):
    """One note as it is stored; `at` in seconds since the epoch."""

    at: float
    text: str
    of: int | None = None
    """The number of the note that this one puts right; without a text it takes it back."""


class KeptNote(Struct, frozen=True):
    """One note that stands; `number` counts all that were stored of this car, from 0."""

    number: int
    at: float
    text: str


_decoder = msgspec.json.Decoder(CarNote)


def notes(journal: Journal, engine: str) -> list[KeptNote]:
    """Return the notes of an engine, oldest first; raises `JournalError` for one that can't be read."""
    try:
        stored = [_decoder.decode(body) for body in journal.read(f"{NOTES}{engine}")]
    except msgspec.DecodeError as error:
        raise JournalError(f"a note of '{engine}' can't be read: {error}") from error
    right = {one.of: one.text for one in stored if one.of is not None}
    found = [
        KeptNote(number, one.at, right.get(number, one.text)) for number, one in enumerate(stored) if one.of is None
    ]
    return [one for one in found if one.text]


def write_note(journal: Journal, engine: str, text: str, at: float, of: int | None = None) -> None:
    """Store a note, or what puts the note `of` right; raises `DiagnoseError` for one that says nothing, or too much."""
    _store(journal, engine, CarNote(at, as_kept(text), of))


def as_kept(text: str) -> str:
    """Return a note as it is kept; raises `DiagnoseError` for one that says nothing, or too much."""
    text = text.strip()
    if not text:
        raise DiagnoseError("the note is empty: say what you saw")
    if len(text) > LONGEST:
        raise DiagnoseError(f"the note has {len(text)} signs: {LONGEST} at most, or several notes")
    if any(unicodedata.category(sign) == "Cs" for sign in text):
        raise DiagnoseError("the note holds half a character, which can't be stored; type it again")
    return text


def take_back_note(journal: Journal, engine: str, number: int, at: float) -> None:
    """Take a note back: it is shown no more."""
    _store(journal, engine, CarNote(at, "", number))


def _store(journal: Journal, engine: str, made: CarNote) -> None:
    body, stream = msgspec.json.encode(made).decode(), f"{NOTES}{engine}"
    while True:
        with suppress(Conflict):  # another window noted something as well: both stay
            journal.append(stream, len(journal.times(stream)), [body], made.at)
            return
