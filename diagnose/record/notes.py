"""What people note in their own words: a stream of the journal for each engine, and for each outing noted of later."""

from __future__ import annotations

from contextlib import suppress

import msgspec
from msgspec import Struct

from diagnose.errors import DiagnoseError
from diagnose.record.journal import Conflict, Journal, JournalError

NOTES = "notes/"
OF_OUTINGS = "noted/"
"""A note of an outing is none of its events: it changes neither what followed from them, nor which was the last."""
LONGEST = 2000
"""Signs: a note is read on a small screen, and by a pit mate."""


class CarNote(Struct, frozen=True):
    """One note; `at` in seconds since the epoch."""

    at: float
    text: str


_decoder = msgspec.json.Decoder(CarNote)


def notes(journal: Journal, engine: str) -> list[CarNote]:
    """Return the notes of an engine, oldest first; raises `JournalError` for one that can't be read."""
    return _read(journal, f"{NOTES}{engine}", f"'{engine}'")


def write_note(journal: Journal, engine: str, text: str, at: float) -> None:
    """Store a note; raises `DiagnoseError` for one that says nothing, or too much."""
    _write(journal, f"{NOTES}{engine}", text, at)


def notes_of_outing(journal: Journal, outing: str) -> list[CarNote]:
    """Return what was noted of an outing after it, oldest first; raises `JournalError`."""
    return _read(journal, f"{OF_OUTINGS}{outing}", f"the outing '{outing}'")


def noted_outings(journal: Journal) -> dict[str, list[CarNote]]:
    """Return the same of all outings, by id."""
    streams = journal.lengths(OF_OUTINGS)
    found = (name.removeprefix(OF_OUTINGS) for name in streams)
    return {outing: notes_of_outing(journal, outing) for outing in found}


def note_outing(journal: Journal, outing: str, text: str, at: float) -> None:
    """Store a note of an outing; raises `DiagnoseError` for one that says nothing, or too much."""
    _write(journal, f"{OF_OUTINGS}{outing}", text, at)


def _read(journal: Journal, stream: str, what: str) -> list[CarNote]:
    try:
        return [_decoder.decode(body) for body in journal.read(stream)]
    except msgspec.DecodeError as error:
        raise JournalError(f"a note of {what} can't be read: {error}") from error


def _write(journal: Journal, stream: str, text: str, at: float) -> None:
    text = text.strip()
    if not text:
        raise DiagnoseError("the note is empty: say what you saw")
    if len(text) > LONGEST:
        raise DiagnoseError(f"the note has {len(text)} signs: {LONGEST} at most, or several notes")
    body = msgspec.json.encode(CarNote(at, text)).decode()
    while True:
        with suppress(Conflict):  # another window noted something as well: both stay
            journal.append(stream, journal.length(stream), [body], at)
            return
