"""The parts of a practice that are text: who sits there, what can be looked at, what came of a step."""

from __future__ import annotations

from textual.content import Content

from diagnose.pages.practice import look_name
from diagnose.practice import offers
from diagnose.practice.happenings import Looked
from diagnose.practice.lesson import LessonLine, Practice
from diagnose.practice.table import Seat
from diagnose.screens.widgets.entries import ListEntry
from diagnose.screens.widgets.text import hints


def looks(practice: Practice) -> list[ListEntry]:
    """Return what can be looked at by area, each with the mark of what it last showed."""
    marks = {line.event.check: _mark(practice, line) for line in practice.lines if isinstance(line.event, Looked)}
    return [
        entry
        for area, names in offers.looks(practice.scope).items()
        for entry in (
            ListEntry("", area),
            *(ListEntry(n, f"{marks.get(n, ' ')} {look_name(practice, n)}") for n in names),
        )
    ]


def _mark(practice: Practice, line: LessonLine) -> str:
    assert isinstance(line.event, Looked)
    if not line.answer:
        return "?"
    return "✓" if practice.scope.checks[line.event.check].answers[line.answer].healthy else "!"


def seats(every: tuple[Seat, ...], at: int, width: int) -> Content:
    """Return who sits at the table, the one whose turn it is in brackets."""
    told = []
    for number, seat in enumerate(every, 1):
        now = number - 1 == at
        name = f"{seat.called}{' (runs)' if seat.running else ''}{']' if now else ''}"
        told.append((f"[{number}" if now else str(number), name, f"screen.digit('{number}')"))
    return hints(told, width)
