"""What screens tell the app. Messages go upward only."""

from __future__ import annotations

from textual.message import Message

from diagnose.reason.events import Event, Incident


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
    """An open outing is to be stopped where it stands."""

    def __init__(self, outing: str) -> None:
        super().__init__()
        self.outing = outing


class Read(Message):
    """These cautions were read."""

    def __init__(self, cautions: tuple[str, ...]) -> None:
        super().__init__()
        self.cautions = cautions


class SinceTold(Message):
    """What happened to the car since, or None."""

    def __init__(self, what: Incident | None) -> None:
        super().__init__()
        self.what = what
