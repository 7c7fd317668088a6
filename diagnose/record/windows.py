"""The windows that owners have set for their engines: a stream of the journal for each, of which the newest counts."""

from __future__ import annotations

from contextlib import suppress

import msgspec
from msgspec import Struct

from diagnose.record.journal import Conflict, Journal, JournalError
from diagnose.tune.window import Window

WINDOWS = "window/"


class Chosen(Struct, frozen=True, omit_defaults=True):
    """A window that was taken over, °C; without numbers the general one counts again."""

    at: float
    floor: float | None = None
    ceiling: float | None = None


_decoder = msgspec.json.Decoder(Chosen)


def window(journal: Journal, engine: str) -> Window | None:
    """Return the own window of an engine, None when the general one counts; raises `JournalError`."""
    bodies = journal.read(f"{WINDOWS}{engine}")
    try:
        chosen = _decoder.decode(bodies[-1]) if bodies else Chosen(0.0)
    except msgspec.DecodeError as error:
        raise JournalError(f"the window of '{engine}' can't be read: {error}") from error
    return None if chosen.floor is None or chosen.ceiling is None else Window(chosen.floor, chosen.ceiling)


def write_window(journal: Journal, engine: str, made: Window | None, at: float) -> None:
    """Store a window, None for the general one; the older ones stay in the journal."""
    chosen = Chosen(at, made.floor, made.ceiling) if made else Chosen(at)
    while True:
        with suppress(Conflict):  # another window stored one: the one that comes last counts
            stream = f"{WINDOWS}{engine}"
            journal.append(stream, len(journal.times(stream)), [msgspec.json.encode(chosen).decode()], at)
            return
