"""Engine records: what a person has told the program about each of their engines. A stream of the journal."""

from __future__ import annotations

import math
import unicodedata
from contextlib import suppress

import msgspec
from msgspec import Struct

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Screw, Variant
from diagnose.record.journal import Conflict, Journal
from diagnose.tune.needles import MOST_DEPTH

STREAM = "engines"
LONGEST = 40


class Engine(Struct, frozen=True, omit_defaults=True):
    """One engine: its name, what kind it is, and its recorded settings in hours out from gently closed."""

    name: str
    variant: Variant = Variant()
    settings: dict[Screw, float] = {}
    notes: str = ""


_decoder = msgspec.json.Decoder(Engine)


def engines(journal: Journal) -> dict[str, Engine]:
    """Return the engines by name, in the order they were added; a record that is none blocks no other."""
    return {engine.name: engine for engine in map(_engine, journal.read(STREAM)) if engine is not None}


def unread(journal: Journal) -> int:
    """Return how many records can't be shown."""
    return sum(_engine(body) is None for body in journal.read(STREAM))


def _engine(body: str) -> Engine | None:
    try:
        return _decoder.decode(body)
    except msgspec.DecodeError:
        return None


def added(journal: Journal, name: str) -> float:
    """Return when an engine was added, in seconds since the epoch."""
    found = zip(map(_engine, journal.read(STREAM)), journal.times(STREAM), strict=True)
    return next(at for engine, at in found if engine is not None and engine.name == name)


def add(journal: Journal, engine: Engine, at: float) -> Engine:
    """Add an engine (`at` in seconds) and return it as stored; raises `DiagnoseError` for one that can't be."""
    if engine.variant.needles == 2 and "mid needle" in engine.settings:
        raise DiagnoseError("an engine with two needles has no mid needle to record")
    made = msgspec.structs.replace(engine, name=_name(engine.name))
    for screw, setting in made.settings.items():
        if not 0 <= setting <= MOST_DEPTH:
            raise DiagnoseError(_setting(screw))
    if not all(map(math.isfinite, made.variant.own.values())):
        raise DiagnoseError("a fact of the engine's own must be a number")
    if any(unicodedata.category(sign) == "Cs" for sign in made.notes):
        raise DiagnoseError("the notes hold half a character, which can't be stored; type them again")
    body = msgspec.json.encode(made).decode()
    while True:
        stored = list(journal.read(STREAM))
        known = [one.name for one in map(_engine, stored) if one is not None]
        if _same(made.name) in map(_same, known):
            raise DiagnoseError(f"there is an engine called '{made.name}' already; choose another name")
        with suppress(Conflict):  # another window added one: its name counts too
            journal.append(STREAM, len(stored), [body], at)
            return made


def _setting(screw: Screw) -> str:
    return f"the {screw} stands 0 to {MOST_DEPTH:g} hours out from gently closed; twelve hours are one turn"


def _same(name: str) -> str:
    """Return what names that look alike share."""
    return unicodedata.normalize("NFKC", name).casefold()


def _name(name: str) -> str:
    """Return a name fit for lists; raises `DiagnoseError` with the reason when it is not."""
    name = unicodedata.normalize("NFC", " ".join(name.split()))
    if not name:
        raise DiagnoseError("an engine needs a name, so that its record can be found again")
    if len(name) > LONGEST:
        raise DiagnoseError(f"the name has {len(name)} characters; {LONGEST} at most")
    if not name.isprintable():
        raise DiagnoseError("the name holds characters that can't be shown; use letters, digits and spaces")
    return name
