"""What if: for each answer, how likely it is, what it would come to, and the step that would follow."""

from __future__ import annotations

from diagnose.pages.parts import Gap, Heading, Line, Page, Paragraph, Part
from diagnose.reason.explain import what_if
from diagnose.reason.likelihood import odds
from diagnose.reason.view import Step
from diagnose.reason.walk import Walk

HEADING = "What if I answered ..."


def what_if_page(walk: Walk, step: Step, now: float) -> Page:
    """Return what would follow each answer; nothing is answered by it."""
    shown: list[Part] = [Paragraph(step.ask, "strong"), Gap()]
    answers = what_if(walk, step, now)
    for found in answers:
        shown.append(Heading(f"{found.say}{f' ({odds(found.chance)})' if found.chance else ''}"))
        then = "; ".join(f"{one.name}: {one.likely}" for one in found.suspects)
        shown += [Line(then or "nothing new", "  it would then be:"), Line(found.next, "  →"), Gap()]
    return (*shown, *(() if answers else (Paragraph("This step is something to do. It has no answers to compare."),)))
