"""Engine records: what a person has told the program about each of their engines. A stream of the journal."""

from __future__ import annotations

import unicodedata

import msgspec
from msgspec import Struct

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Screw, Variant
from diagnose.record.journal import Journal

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
    """Return the engines by name, in the order they were added; the newest record of a name counts."""
    return {engine.name: engine for engine in map(_decoder.decode, journal.read(STREAM))}


def add(journal: Journal, engine: Engine, at: float) -> Engine:
    """Add an engine (`at` in seconds); raises `DiagnoseError` for a name that can't be."""
    name = _name(engine.name)
    known = journal.read(STREAM)
    taken = {_decoder.decode(body).name.casefold() for body in known}
    if name.casefold() in taken:
        raise DiagnoseError(f"there is an engine called '{name}' already; choose another name")
    made = msgspec.structs.replace(engine, name=name)
    journal.append(STREAM, len(known), [msgspec.json.encode(made).decode()], at)
    return made


def _name(name: str) -> str:
    """Return a name fit for lists; raises `DiagnoseError` with the reason when it is not."""
    name = " ".join(name.split())
    if not name:
        raise DiagnoseError("an engine needs a name, so that its record can be found again")
    if len(name) > LONGEST:
        raise DiagnoseError(f"the name has {len(name)} characters; {LONGEST} at most")
    if any(unicodedata.category(sign) in ("Cc", "Cf", "Cs", "Co", "Cn") for sign in name):
        raise DiagnoseError("the name holds characters that can't be shown; use letters, digits and spaces")
    return name
