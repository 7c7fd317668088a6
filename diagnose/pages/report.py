"""What happened on an outing, to take along: what was told, looked at and done, and how it ended."""

from __future__ import annotations

from diagnose.graph.wording import capital, minutes
from diagnose.pages import turns
from diagnose.pages.beside import mark
from diagnose.pages.dates import date_and_clock
from diagnose.pages.end import HEADINGS
from diagnose.pages.parts import Gap, Heading, Line, Page, Paragraph, Part
from diagnose.reason.hand_over import please
from diagnose.reason.view import Turn
from diagnose.reason.walk import Walk


def report(walk: Walk, at: float) -> Page:
    """Return the branch that was taken, the turns as faces, and the verdict; `at` is when it was last written to."""
    view, known, verdict = walk.view(at), walk.knowledge, walk.verdict()
    adjusted = [Turn(one.screw, one.way, one.hours) for one in walk.state.adjustments]
    ended: tuple[Part, ...] = (Paragraph("It has not ended yet.", "strong"),)
    if verdict is not None:
        ended = (
            Paragraph(f"{HEADINGS[verdict.outcome]}: {verdict.because.rstrip('.')}.", "strong"),
            *(Line(known.faults[fault].name, "→ mended:") for fault in verdict.mended),
        )
    owed = () if verdict is not None and verdict.cured else view.owed
    return (
        Paragraph(f"{capital(view.engine)}, {date_and_clock(walk.started.at)}"),
        Heading("what was looked at and done"),
        *(Line(line.what, mark(line)) for line in view.trail),
        *((Heading("what was turned"), turns.faces(adjusted), Gap()) if adjusted else ()),
        Heading("how it ended"),
        *ended,
        *(Line(opening, "! still open:") for opening in view.open),
        *((Heading("still owed before a needle"),) if owed else ()),
        *(Line(f"{line.name}, {minutes(line.minutes)}") for line in owed),
        *((Gap(), Paragraph(please(owed), "strong")) if owed else ()),
    )
