"""How a person is led: one thing at a time or on the whole bench, in lines or in recipes. The newest choice counts."""

from __future__ import annotations

from contextlib import suppress

import msgspec
from msgspec import Struct

from diagnose.record.journal import Conflict, Journal

MANNER = "manner"
DENSITY = "density"


class Manner(Struct, frozen=True):
    """It was chosen to be led one thing at a time, or not to be."""

    at: float
    first_day: bool


class Density(Struct, frozen=True):
    """It was chosen to read each step in a line, or not to."""

    at: float
    lines: bool


_decoder = msgspec.json.Decoder(Manner)
_density = msgspec.json.Decoder(Density)


def first_day(journal: Journal) -> bool | None:
    """Say whether first-day mode was chosen; None when nobody has chosen, or what was stored can't be read."""
    bodies = journal.read(MANNER)
    with suppress(msgspec.MsgspecError):
        return _decoder.decode(bodies[-1]).first_day if bodies else None
    return None


def lines(journal: Journal) -> bool:
    """Say whether it was chosen to read each step in a line; recipes are for who has chosen nothing."""
    bodies = journal.read(DENSITY)
    with suppress(msgspec.MsgspecError):
        return bool(bodies) and _density.decode(bodies[-1]).lines
    return False


def write_first_day(journal: Journal, on: bool, at: float) -> None:
    """Store what was chosen; what was chosen before stays in the journal."""
    _write(journal, MANNER, Manner(at, on))


def write_lines(journal: Journal, on: bool, at: float) -> None:
    """Store whether each step is read in a line."""
    _write(journal, DENSITY, Density(at, on))


def _write(journal: Journal, stream: str, chosen: Manner | Density) -> None:
    body = msgspec.json.encode(chosen).decode()
    while True:
        with suppress(Conflict):  # another window chose as well: the one that comes last counts
            journal.append(stream, len(journal.times(stream)), [body], chosen.at)
            return
