"""How a walk ended, and what is handed over: its plain text is the sheet to take along."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.graph.model import Knowledge
from diagnose.graph.wording import capital, minutes
from diagnose.pages.beside import mark
from diagnose.pages.parts import AnswerPart, Gap, Line, Page, Paragraph, Part
from diagnose.pages.turns import WRITE_DOWN
from diagnose.reason.hand_over import Group, groups, please
from diagnose.reason.view import OwedLine, Verdict, View

HEADINGS = {
    "cured": "✓ Cured",
    "nothing is wrong": "✓ Nothing is wrong",
    "handed over": "→ Handed over",
    "stopped": "· Stopped here",
}

HOME, WRITE = "home", "write"


def answers(*, table: bool) -> tuple[AnswerPart, ...]:
    """Return what can be done then; at a `table` others are waiting."""
    back = "back to the table" if table else "back to the first page"
    return AnswerPart(HOME, back), AnswerPart(WRITE, "write this to a file")


def written(path: str) -> str:
    """Say where the sheet is."""
    return f"Written to {path}"


def not_written(why: str) -> str:
    """Say why there is no sheet."""
    return f"The file can't be written: {why}"


def end_page(view: View, verdict: Verdict, known: Knowledge, owed: Sequence[OwedLine]) -> Page:
    """Return what is said at the end, below its heading; `owed` is what was owed before the verdict."""
    about = (Paragraph(f"{view.symptom_name} · {view.engine}", "quiet"), Gap())
    if verdict.outcome == "nothing is wrong" and not verdict.cured:
        return *about, *found_normal(capital(verdict.because), view)
    if not verdict.cured:
        return *about, *handed_over(capital(verdict.because), view, owed)
    tuned = verdict.adjustments and known.symptoms[view.symptom].retest.engine == "running"
    turned = f"adjustments: {verdict.adjustments}. {WRITE_DOWN}."
    return (
        *about,
        Paragraph(f"{capital(verdict.because)}.", "strong"),
        *(Line(known.faults[fault].name, "→ mended:") for fault in verdict.mended),
        *((Line(turned, "→"),) if verdict.adjustments else ()),
        *(Line(opening, "! still open:") for opening in view.open),
        Gap(),
        Paragraph(f"{'This is the last good tune now. ' if tuned else ''}What was done:"),
        *(Line(line.what, mark(line)) for line in view.trail),
    )


def handed_over(because: str, view: View, owed: Sequence[OwedLine]) -> Page:
    """Return why it is handed over, what was looked at, found, done and left open, and what is still owed."""
    still_owed = Group("Still owed", "·", tuple(f"{line.name}, {minutes(line.minutes)}" for line in owed))
    lists = _lists([*groups(view), *([still_owed] if owed else [])])
    return Paragraph(because), Gap(), *lists, Paragraph(please(owed), "strong")


def found_normal(because: str, view: View) -> Page:
    """Return why nothing is wrong, and what was looked at, found, done and left open."""
    return Paragraph(because), Gap(), *_lists(groups(view))


def _lists(found: Sequence[Group]) -> Page:
    """Return each list below its heading, with a gap after it."""
    parts: list[Part] = []
    for group in found:
        parts.append(Paragraph(f"{group.heading}:", "strong"))
        parts += [Line(line, group.mark) for line in group.lines]
        parts.append(Gap())
    return tuple(parts)
