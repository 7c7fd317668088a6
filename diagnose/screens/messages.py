"""What screens tell the app. Messages go upward only."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from textual.message import Message

from diagnose.reason.events import Event, Incident

if TYPE_CHECKING:
    from diagnose.tune.needles import LedgerEntry
    from diagnose.tune.typed import TypedDay
    from diagnose.tune.well import Card


class Happened(Message):
    """Something happened on the walk: it is to be stored, and then the walk moves on."""

    def __init__(self, event: Event) -> None:
        super().__init__()
        self.event = event


class Picked(Message):
    """A symptom was chosen: begin a walk."""

    def __init__(self, symptom: str) -> None:
        super().__init__()
        self.symptom = symptom


class Resumed(Message):
    """An open outing was chosen: go on with it."""

    def __init__(self, outing: str) -> None:
        super().__init__()
        self.outing = outing


class Closed(Message):
    """An open outing is to be stopped where it stands; one that can't be shown is only put away."""

    def __init__(self, outing: str, *, unread: bool = False) -> None:
        super().__init__()
        self.outing = outing
        self.unread = unread


class Read(Message):
    """These cautions were read."""

    def __init__(self, cautions: tuple[str, ...]) -> None:
        super().__init__()
        self.cautions = cautions


class SinceTold(Message):
    """What happened to the car since."""

    def __init__(self, what: Incident) -> None:
        super().__init__()
        self.what = what


class Entered(Message):
    """Something is to be written into the ledger of an engine; `then` shows it, once it is stored."""

    def __init__(self, engine: str, entry: LedgerEntry, then: Callable[[], None]) -> None:
        super().__init__()
        self.engine = engine
        self.entry = entry
        self.then = then


class DayNoted(Message):
    """The day and the fuel are to be noted, for an engine or for none; `then` shows it, once it is stored."""

    def __init__(self, day: TypedDay, engine: str, then: Callable[[], None]) -> None:
        super().__init__()
        self.day = day
        self.engine = engine
        self.then = then


class CardMade(Message):
    """A well card was made for an engine; `then` goes on, once it is stored."""

    def __init__(self, engine: str, card: Card, then: Callable[[], None]) -> None:
        super().__init__()
        self.engine = engine
        self.card = card
        self.then = then
