"""An outing that can't be shown: what it was, why not, and what to do."""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple

from diagnose.graph.model import Knowledge
from diagnose.record.index import Row


class Unread(NamedTuple):
    """One that is kept in the journal and can't be shown; `told` says so in a line or two."""

    id: str
    what: str
    last_at: float
    told: str


def unread(row: Row, knowledge: Knowledge, because: str) -> Unread:
    """Return an outing that could not be folded, with `because` where the reason is known."""
    gist = row.told()
    began = gist.symptoms[0] if gist.symptoms else ""
    symptom = knowledge.symptoms.get(began)
    what = symptom.name if symptom else began or "a walk"
    what += f" · {gist.engine}" if gist.engine else ""
    when = datetime.fromtimestamp(row.last_at).strftime("%Y-%m-%d %H:%M")
    if not began:
        why, do = "its record is damaged", "Begin it anew."
    elif gist.knowledge != knowledge.digest:
        why = "it was made with other knowledge"
        do = "Begin it anew, or open it with the files that it was made with."
    else:
        why, do = "something in it does not fit", "Begin it anew."
    why += f" ({because})" if because else ""
    told = f"{what}, {when}, can't be shown: {why}. All of it is kept. {do}"
    return Unread(row.id, what, row.last_at, told)
