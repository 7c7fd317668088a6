"""The parts of a practice that are text: who sits there, what can be looked at, what came of a step."""

from __future__ import annotations

from textual.content import Content

from diagnose.graph.wording import clean, minutes
from diagnose.practice import offers
from diagnose.practice.happenings import Looked
from diagnose.practice.lesson import Line, Practice
from diagnose.practice.table import Seat, Table
from diagnose.screens.listing import Entry
from diagnose.screens.widgets.text import hints, hung

OFF = "Its engine is off. Press r before it is started."
REAL = (
    "Before it runs, look at the two guards: the barrel rests on its stop, and the fail-safe shuts it.",
    "Of the real cars at this table only one engine runs at a time.",
)


def looks(practice: Practice) -> list[Entry]:
    """Return what can be looked at by area, each with the mark of what it last showed."""
    checks = practice.scope.checks
    marks = {line.event.check: _mark(practice, line) for line in practice.lines if isinstance(line.event, Looked)}
    return [
        entry
        for area, names in offers.looks(practice.scope).items()
        for entry in (
            Entry("", area),
            *(Entry(n, f"{marks.get(n, ' ')} {checks[n].name}, {minutes(checks[n].minutes)}") for n in names),
        )
    ]


def _mark(practice: Practice, line: Line) -> str:
    assert isinstance(line.event, Looked)
    if not line.answer:
        return "?"
    return "✓" if practice.scope.checks[line.event.check].answers[line.answer].healthy else "!"


def step(line: Line, width: int) -> list[Content]:
    """Return what came of a step, what was dangerous about it first."""
    return [
        *(hung("! ", hazard, width, "bold $warning") for hazard in line.hazards),
        *(hung("", told, width, "bold" if not number else "") for number, told in enumerate(line.told)),
    ]


def heading(seat: Seat) -> str:
    """Return who sits there, how long it has taken, and at what."""
    if seat.practice is None:
        return " · ".join(filter(None, (clean(seat.called), "real car", clean(seat.place))))
    ended = f" · {seat.practice.ended}" if seat.practice.ended else ""
    return f"{clean(seat.called)} · {minutes(seat.practice.minutes)}{ended} · {seat.practice.variant.says()}"


def real_car(table: Table, width: int) -> list[Content]:
    """Return what there is to know of the real car whose turn it is: what has to be done now first."""
    seat, beside = table.seat, table.beside
    if seat is None:
        return []
    shown = []
    if seat.waits and beside is not None:
        number = table.seats.index(beside) + 1
        waits = (
            f"The next step runs this engine, and that of {clean(beside.called)} is running. Only one runs at a time."
        )
        stop = f"Stop that one first: press {number}, then r. Then come back here, and press enter."
        shown += [hung("! ", waits, width, "bold $warning"), hung("! ", stop, width, "bold $warning")]
    elif seat.waits:
        shown.append(hung("", "No other engine is running now. Press enter to go on.", width, "bold"))
    elif seat.outing:
        shown.append(hung("", f"{clean(seat.place)}. Press enter to go on.", width, "bold"))
    else:
        ended = [hung("", f"The walk has ended: {clean(seat.place)}.", width)] if seat.place else []
        shown += [*ended, hung("", "Press enter to say what it does.", width, "bold")]
    running = "Its engine is running. Press r once it has stopped." if seat.running else OFF
    return [*shown, *(hung("", line, width) for line in (running, *REAL))]


def seats(every: tuple[Seat, ...], at: int, width: int) -> Content:
    """Return who sits at the table, the one whose turn it is in brackets."""
    told = []
    for number, seat in enumerate(every, 1):
        now = number - 1 == at
        name = f"{seat.called}{' (runs)' if seat.running else ''}{']' if now else ''}"
        told.append((f"[{number}" if now else str(number), name, f"screen.digit('{number}')"))
    return hints(told, width)
