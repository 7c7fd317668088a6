"""What people note in their own words: a stream of the journal for each engine, and for each outing noted of later."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping, Sequence
from contextlib import suppress

import msgspec
from msgspec import Struct

from diagnose.errors import DiagnoseError
from diagnose.record.gist import SaidNote
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
    in_walk: bool = False
    """`of` counts the events of the walk: the note that is put right was made in it."""


class KeptNote(Struct, frozen=True):
    """One note that stands; `number` counts all that were stored of this car, or of this outing, from 0.

    Of one that was made `in_walk` it counts the events of the walk.
    """

    number: int
    at: float
    text: str
    outing: str = ""
    """The outing that it was noted of, if it was not the car."""
    in_walk: bool = False

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
    _store(journal, note.stream(engine), CarNote(at, as_kept(text), note.number, note.in_walk))


def take_back_note(journal: Journal, engine: str, note: KeptNote, at: float) -> None:
    """Take a note back: it is shown no more."""
    _store(journal, note.stream(engine), CarNote(at, "", note.number, note.in_walk))


def notes_of_outing(journal: Journal, outing: str) -> list[KeptNote]:
    """Return what was noted of an outing after it, oldest first; raises `JournalError`."""
    return _kept(_read(journal, f"{OF_OUTINGS}{outing}", f"the outing '{outing}'"), outing)


def notes_of_walks(journal: Journal, said: Mapping[str, Sequence[SaidNote]]) -> dict[str, list[KeptNote]]:
    """Return the notes of walks by id, oldest first: those `said` in it, as they were put right, and those after it.

    Raises `JournalError` for one that can't be read.
    """
    later, found = {name.removeprefix(OF_OUTINGS) for name in journal.lengths(OF_OUTINGS)}, dict[str, list[KeptNote]]()
    for outing, made in said.items():
        stored = _read(journal, f"{OF_OUTINGS}{outing}", f"the outing '{outing}'") if outing in later else []
        right = _right_in_walk(stored)
        told = ((number, at, right.get(number, text)) for number, at, text in made)
        kept = [KeptNote(number, at, text, outing, in_walk=True) for number, at, text in told if text]
        if both := [*kept, *_kept(stored, outing)]:
            found[outing] = both
    return found


def said_right(journal: Journal, outing: str) -> dict[int, str]:
    """Return how notes that were made in a walk should have been, by the numbers of their events; "": taken back."""
    return _right_in_walk(_read(journal, f"{OF_OUTINGS}{outing}", f"the outing '{outing}'"))


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
    right = {one.of: one.text for one in found if one.of is not None and not one.in_walk}
    told = ((number, one.at, right.get(number, one.text)) for number, one in enumerate(found) if one.of is None)
    return [KeptNote(number, at, text, outing) for number, at, text in told if text]


def _right_in_walk(found: list[CarNote]) -> dict[int, str]:
    return {one.of: one.text for one in found if one.of is not None and one.in_walk}


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
