"""What stands beside a step: what was done so far, what it could be, and what is owed before a needle."""

from __future__ import annotations

from diagnose.graph.wording import minutes
from diagnose.pages.parts import Bar, Gap, Heading, Line, Page, Paragraph, Part, Timed, Tree, grouped
from diagnose.reason.view import Step, TrailLine, View

BESIDE = "Suspects, and what was done"
"""The heading over all of it."""
NOT_YET = "Nothing is known yet. The first answers will tell."


def so_far(view: View, step: Step | None) -> Page:
    """Return what was done below its symptom, the step at hand last."""
    done = [Line(line.what + (", from before" if line.carried else ""), mark(line)) for line in view.trail]
    now = [Line(step.title, "?", "strong")] if step is not None else []
    return Heading("so far"), Tree(view.symptom_name, (*done, *now))


def mark(line: TrailLine) -> str:
    """Return the sign that stands before what was done."""
    return "✓" if line.mark == "ok" else line.mark


def could_be(view: View, most: int = 6) -> Page:
    """Return the likeliest suspects in words."""
    bars = tuple(Bar(suspect.name, suspect.share, suspect.likely) for suspect in view.suspects[:most])
    return Heading("what it could be"), *(bars or (Paragraph(NOT_YET, "quiet"),))


def beside(view: View, step: Step | None, *, locks: bool = True) -> Page:
    """Return all of it, for where there is no room for it beside the step."""
    return grouped(could_be(view), owed(view, locks=locks), so_far(view, step))


def owed(view: View, *, locks: bool = True) -> Page:
    """Return what is owed before a needle may be turned, and (with `locks`) whether one may be."""
    looks: tuple[Part, ...] = tuple(Timed(line.name, minutes(line.minutes)) for line in view.owed)
    found: Page = (Heading("owed before a needle"), *(looks or (Paragraph("nothing", "quiet"),)))
    if not locks:
        return found
    # where something is owed, the list says why
    why = () if view.owed else tuple(Paragraph(lock.because, "quiet") for lock in view.locks)
    return *found, Gap(), Paragraph(f"needles: {'locked' if view.locks else 'open'}", "strong"), *why
