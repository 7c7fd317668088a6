"""What people note in their own words: a stream of the journal for each engine, and for each outing noted of later."""

from __future__ import annotations

import unicodedata
from collections.abc import Collection
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


class CarNote(Struct, frozen=True, omit_defaults=True):
    """One note as it is stored; `at` in seconds since the epoch."""

    at: float
    text: str
    of: int | None = None
    """The number of the note that this one puts right; without a text it takes it back."""


class KeptNote(Struct, frozen=True):
    """One note that stands; `number` counts all that were stored of this car, or of this outing, from 0."""

    number: int
    at: float
    text: str
    outing: str = ""
    """The outing that it was noted of, if it was not the car."""

    def stream(self, engine: str) -> str:
        """Return where the notes of an engine, or of this outing, are stored."""
        return f"{OF_OUTINGS}{self.outing}" if self.outing else f"{NOTES}{engine}"


_decoder = msgspec.json.Decoder(CarNote)


def notes(journal: Journal, engine: str) -> list[KeptNote]:
    """Return the notes of an engine, oldest first; raises `JournalError` for one that can't be read."""
    return _kept(_read(journal, f"{NOTES}{engine}", f"'{engine}'"))


def write_note(journal: Journal, engine: str, text: str, at: float) -> None:
    """Store a note; raises `DiagnoseError` for one that says nothing, or too much."""
    _store(journal, f"{NOTES}{engine}", CarNote(at, as_kept(text)))


def put_note_right(journal: Journal, engine: str, note: KeptNote, text: str, at: float) -> None:
    """Store how a note of an engine should have been, or of one of its outings; raises `DiagnoseError` as above."""
    _store(journal, note.stream(engine), CarNote(at, as_kept(text), note.number))


def take_back_note(journal: Journal, engine: str, note: KeptNote, at: float) -> None:
    """Take a note back: it is shown no more."""
    _store(journal, note.stream(engine), CarNote(at, "", note.number))


def notes_of_outing(journal: Journal, outing: str) -> list[KeptNote]:
    """Return what was noted of an outing after it, oldest first; raises `JournalError`."""
    return _kept(_read(journal, f"{OF_OUTINGS}{outing}", f"the outing '{outing}'"), outing)


def noted_outings(journal: Journal, among: Collection[str] | None = None) -> dict[str, list[KeptNote]]:
    """Return the same of all outings, or of those `among` that were noted of, by id."""
    noted = (name.removeprefix(OF_OUTINGS) for name in journal.lengths(OF_OUTINGS))
    return {outing: notes_of_outing(journal, outing) for outing in noted if among is None or outing in among}


def note_outing(journal: Journal, outing: str, text: str, at: float) -> None:
    """Store a note of an outing; raises `DiagnoseError` for one that says nothing, or too much."""
    _store(journal, f"{OF_OUTINGS}{outing}", CarNote(at, as_kept(text)))


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


def _kept(found: list[CarNote], outing: str = "") -> list[KeptNote]:
    """Return the notes that stand, each as it was last put right."""
    right = {one.of: one.text for one in found if one.of is not None}
    told = ((number, one.at, right.get(number, one.text)) for number, one in enumerate(found) if one.of is None)
    return [KeptNote(number, at, text, outing) for number, at, text in told if text]


def _read(journal: Journal, stream: str, what: str) -> list[CarNote]:
    try:
        return [_decoder.decode(body) for body in journal.read(stream)]
    except msgspec.DecodeError as error:
        raise JournalError(f"a note of {what} can't be read: {error}") from error


def _store(journal: Journal, stream: str, made: CarNote) -> None:
    body = msgspec.json.encode(made).decode()
    while True:
        with suppress(Conflict):  # another window noted something as well: both stay
            journal.append(stream, journal.length(stream), [body], made.at)
            return
