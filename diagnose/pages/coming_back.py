"""Coming back to a walk: what was done and half done, and how the car stands, to confirm."""

from __future__ import annotations

from diagnose.pages.beside import mark
from diagnose.pages.parts import AnswerPart, Line, Page, Paragraph, grouped
from diagnose.pages.stuck import waits
from diagnose.reason import events as ev
from diagnose.reason.state import effective
from diagnose.reason.view import Step, View
from diagnose.reason.walk import Walk

HEADING = "Where you left it"
AS_LEFT, CLOSED, UNKNOWN = "as left", "closed", "unknown"
MOST_LINES = 6
"""Lines of what was done last; all of it stands beside the steps."""


def coming_back_page(walk: Walk, view: View, step: Step | None) -> Page:
    """Return what was done last, what was begun and not finished, what comes next, and what was open on the car."""
    done = tuple(Line(line.what, mark(line)) for line in view.trail[-MOST_LINES:])
    begun = tuple(Line(what) for what in half_done(walk))
    still = tuple(Line(opening, "!") for opening in view.open)
    return grouped(
        (Paragraph("What was done:"), *done) if done else (),
        (Paragraph("Begun, and not finished:"), *begun) if begun else (),
        (Paragraph(f"What comes next: {step.title}."),) if step is not None else (),
        (Paragraph("This was open. Is it still?", "strong"), *still) if still else (),
    )


def half_done(walk: Walk) -> tuple[str, ...]:
    """Return what was begun and not finished: mends that had to stop, looks that could not be told, what waits."""
    found: list[str] = []
    for _, event in effective(walk.events):
        match event:
            case ev.Deferred(fault=fault, begun=True) if fault in walk.state.deferred:
                found.append(walk.scope.faults[fault].name)
            case ev.Answered(check=check, answer=ev.CANT_TELL) if check in walk.state.unanswered:
                if walk.scope.checks[check].takes_off:
                    found.append(walk.scope.checks[check].name)
            case _:
                pass
    last = walk.events[-1]
    if isinstance(last, ev.Parked) and last.needs:
        found.append(f"it {waits(last.needs)}")
    return tuple(dict.fromkeys(found))


def answers(view: View) -> tuple[AnswerPart, ...]:
    """Return what can be said: how the car stands where something was open, else only to go on."""
    if not view.open:
        return (AnswerPart(AS_LEFT, "go on from there"),)
    return (
        AnswerPart(AS_LEFT, "yes, it is as I left it"),
        AnswerPart(CLOSED, "no, all of it has been closed"),
        AnswerPart(UNKNOWN, "I don't know"),
    )


def found_before(walk: Walk) -> str:
    """Say what an earlier walk has found, and nobody has mended; "" for nothing."""
    names = [walk.standing.forms.name(fault) for fault in walk.standing.accused]
    if not walk.started.found or not names:
        return ""
    return f"Found last time, and not mended: {', '.join(names)}. It comes first."
