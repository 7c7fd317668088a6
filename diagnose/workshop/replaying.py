"""An outing, one event at a time: the walk after each, and what differs where the knowledge has changed since."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge
from diagnose.reason import events as ev
from diagnose.reason.walk import Walk, replay
from diagnose.workshop.outings import Outings


class Difference(NamedTuple):
    """An event (by its number, from 0) that would not be taken today, and why."""

    number: int
    why: str


class Replayed(NamedTuple):
    """An outing."""

    id: str
    walks: tuple[Walk, ...]
    """The walk after each event, as far as it can be shown."""
    length: int
    """How many events there are."""
    same: bool
    """It was made with this very knowledge."""
    differs: tuple[Difference, ...] = ()
    stops: str = ""
    """Why it can be shown no further; "" where it is shown to its end."""


def replayed(shop: Outings, outing: str) -> Replayed:
    """Return an outing to go through; raises `DiagnoseError` for one that is not there."""
    row = shop.row_called(outing)
    same = row.told().knowledge == shop.knowledge.digest
    try:
        events = shop.events_of(row)
    except ValueError:
        return Replayed(row.id, (), row.length, same, stops="its record is damaged")
    walks, differs, stops = list[Walk](), list[Difference](), ""
    for number, event in enumerate(events):
        if not same and walks and (why := _refused(walks[-1], event)):
            differs.append(Difference(number, why))
        try:
            walks.append(_after(shop.knowledge, events[: number + 1]))
        except Exception as error:  # whatever other knowledge, or damage, has left there
            stops = _why(error)
            break
    return Replayed(row.id, tuple(walks), len(events), same, tuple(differs), stops)


def _after(knowledge: Knowledge, events: Sequence[ev.Event]) -> Walk:
    walk = replay(knowledge, events)
    walk.view(events[-1].at)  # kept for the page
    return walk


def _refused(walk: Walk, event: ev.Event) -> str:
    """Return why an event would not be taken after a walk; "" where it would."""
    try:
        walk.plus(event)
    except Exception as error:
        return _why(error)
    return ""


def _why(error: Exception) -> str:
    return str(error) if isinstance(error, DiagnoseError) else "it names what is not known any more"
