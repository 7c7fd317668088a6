"""An outing that can't be shown: what it was, why not, and what to do."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple

from diagnose.graph.model import Knowledge
from diagnose.reason.events import Started, from_json
from diagnose.record.journal import Stream
from diagnose.record.ledger import OUTINGS


class Unread(NamedTuple):
    """One that is kept in the journal and can't be shown; `told` says so in a line or two."""

    id: str
    what: str
    last_at: float
    told: str


def unread(stream: Stream, bodies: Sequence[str], knowledge: Knowledge, because: str) -> Unread:
    """Return a stream that could not be folded, with `because` where the reason is known."""
    first = _first(bodies)
    symptom = knowledge.symptoms.get(first.symptom) if first else None
    what = symptom.name if symptom else first.symptom if first else "a walk"
    what += f" · {first.engine}" if first and first.engine else ""
    when = datetime.fromtimestamp(stream.last_at).strftime("%Y-%m-%d %H:%M")
    if first is None:
        why, do = "its record is damaged", "Begin it anew."
    elif first.knowledge != knowledge.digest:
        why = "it was made with other knowledge"
        do = "Begin it anew, or open it with the files that it was made with."
    else:
        why, do = "something in it does not fit", "Begin it anew."
    why += f" ({because})" if because else ""
    told = f"{what}, {when}, can't be shown: {why}. All of it is kept. {do}"
    return Unread(stream.name.removeprefix(OUTINGS), what, stream.last_at, told)


def _first(bodies: Sequence[str]) -> Started | None:
    try:
        first = from_json(bodies[0])
    except (ValueError, IndexError):
        return None
    return first if isinstance(first, Started) else None
