"""Finding a walk again: by car, symptom, fault, days and words. What is sought is told by the events alone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime
from typing import NamedTuple

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge
from diagnose.graph.seek import could_be
from diagnose.record.gist import Gist
from diagnose.record.index import Row
from diagnose.record.notes import KeptNote, notes_of_walks
from diagnose.workshop.outings import Outings


class WalkSought(NamedTuple):
    """What is sought; what is empty or None is any. Each of the `words` must be there, in any order."""

    words: str = ""
    engine: str = ""
    symptom: str = ""
    fault: str = ""
    """One that was mended, put off, or named by what a look showed."""
    since: date | None = None
    until: date | None = None
    """The last day that counts."""


def find(shop: Outings, sought: WalkSought) -> list[Row]:
    """Return the walks that fit, the newest first; raises `DiagnoseError` for what the knowledge does not know."""
    known = shop.knowledge
    if sought.symptom and sought.symptom not in known.symptoms:
        raise DiagnoseError(f"there is no symptom '{sought.symptom}'{could_be(sought.symptom, known, 'symptoms')}")
    if sought.fault and sought.fault not in known.faults:
        raise DiagnoseError(f"there is no fault '{sought.fault}'{could_be(sought.fault, known, 'faults')}")
    if sought.engine:
        shop.engine(sought.engine)
    words = sought.words.casefold().split()
    rows = shop.rows()
    notes = notes_of_walks(shop.journal, {row.id: row.noted for row in rows}) if words else {}
    return [row for row in reversed(rows) if _fits(row, sought, words, notes, known)]


def _fits(row: Row, sought: WalkSought, words: list[str], notes: dict[str, list[KeptNote]], known: Knowledge) -> bool:
    if sought.engine and row.engine != sought.engine:
        return False
    if not (words or sought.symptom or sought.fault or sought.since or sought.until):
        return True
    gist = row.told()
    begun, last = (datetime.fromtimestamp(at).date() for at in (gist.begun, row.last_at))
    if (sought.since and last < sought.since) or (sought.until and begun > sought.until):
        return False
    if sought.symptom and sought.symptom not in gist.symptoms:
        return False
    if sought.fault and sought.fault not in gist.faults and sought.fault not in set(_named(gist, known)):
        return False
    if not words:
        return True
    said = "\n".join(_said(gist, begun, notes.get(row.id, ()), known)).casefold()
    return all(word in said for word in words)


def _named(gist: Gist, known: Knowledge) -> Iterator[str]:
    """Yield the faults that looks have named."""
    for check, answer in gist.answers:
        if check in known.checks and answer in known.checks[check].answers:
            yield from known.checks[check].answers[answer].names


def _said(gist: Gist, begun: date, notes: Sequence[KeptNote], known: Knowledge) -> Iterator[str]:
    """Yield all in which words are sought: names, as they are called today, the day, and what people wrote."""
    yield gist.engine
    yield begun.isoformat()
    for symptom in gist.symptoms:
        yield known.symptoms[symptom].name if symptom in known.symptoms else symptom
    for fault in gist.faults:
        yield known.faults[fault].name if fault in known.faults else fault
    yield from gist.words
    for note in notes:
        yield note.text
