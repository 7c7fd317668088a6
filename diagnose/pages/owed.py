"""What is still owed before a needle may be turned, as a list to look up without a walk."""

from __future__ import annotations

from diagnose.graph.wording import minutes
from diagnose.pages.parts import Heading, Page, Paragraph, Table
from diagnose.reason.view import View


def looks_owed(view: View) -> Page:
    """Return the looks with their minutes and ids, the quickest gain first; with minutes to go, a last word."""
    nothing = "no first look is owed" if view.deadline is None else "nothing useful fits into these minutes"
    looks = (
        (f"{number:2}", f"{minutes(one.minutes):>8}", f"{one.name}  ({one.check})")
        for number, one in enumerate(view.owed, 1)
    )
    listed = Table(tuple(looks)) if view.owed else Paragraph(nothing)
    return (
        Heading(f"{view.symptom_name} · {view.engine}"),
        listed,
        Paragraph(f"all that is owed: {minutes(view.minutes_left)}"),
        *(_last_word(view) if view.last_word else ()),
    )


def _last_word(view: View) -> Page:
    return (
        Paragraph(f"close the car up in {minutes(max(view.close_up or 0.0, 0.0))} at the latest"),
        Paragraph(f"if you stop now: {view.last_word}. {view.last_word_because}"),
    )
