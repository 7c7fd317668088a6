"""The first page: what is it doing? And what was left unfinished."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.graph.model import Knowledge, Symptom
from diagnose.pages.dates import date_and_clock
from diagnose.reason.view import View
from diagnose.record.unread import Unread

HEADING = "What is it doing?"
SEARCH = "type to search"
NOT_FINISHED = "not finished"
GO_ON = "go on: "
WALKS = "walks that were made"
LOOK_BACK = "look back at a walk"
NOTHING = "nothing has that in it; try another word"
PAGE_OF = "its page: settings, tunes, what was wrong, notes"

WHENS = ("starting", "at idle", "pulling away", "at speed", "any time")


def by_when(knowledge: Knowledge) -> list[tuple[str, list[tuple[str, Symptom]]]]:
    """Return the symptoms (id, symptom) grouped by when it happens; doors, which no fault explains, come first."""
    explained = {symptom for fault in knowledge.faults.values() for symptom in fault.explains}
    ordered = sorted(knowledge.symptoms.items(), key=lambda pair: (pair[0] in explained, pair[1].name))
    groups = [(when, [pair for pair in ordered if pair[1].when == when]) for when in WHENS]
    return [(when, found) for when, found in groups if found]


def fewer(names: Sequence[str]) -> str:
    """Say what is no longer looked for because of files that were added."""
    return f"With the added files these are no longer looked for: {', '.join(names)}."


def open_walk(view: View, at: float, *, engine: bool = True, narrow: bool = False, waiting: str = "") -> str:
    """Name a walk that was left at `at`, in seconds since the epoch; where it is `narrow`, the time comes first.

    What it is `waiting` for stands before whose it is.
    """
    whose = [view.symptom_name, *([waiting] if waiting else []), *([view.engine] if engine else [])]
    if narrow:  # what tells two of them apart must not be cut off
        return " · ".join([date_and_clock(at), *whose])
    return " · ".join([*whose, f"step {view.number}", date_and_clock(at)])


def place(view: View) -> str:
    """Say where the walk of a car at the table stands."""
    return f"{view.symptom_name} · {view.verdict.outcome if view.verdict else f'step {view.number}'}"


def unread(kept: Unread) -> str:
    """Name a walk that can't be shown."""
    return f"{date_and_clock(kept.last_at)} can't be shown: {kept.what}"
