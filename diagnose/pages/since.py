"""What has happened to the car since: asked when earlier answers still count, or nobody answered for a while."""

from __future__ import annotations

from diagnose.pages.dates import clock
from diagnose.pages.parts import AnswerPart, Line, Page, Paragraph
from diagnose.reason.events import Incident
from diagnose.reason.walk import Walk

HEADING = "What has happened to the car since?"
SAID: dict[Incident, str] = {
    "nothing": "none of these",
    "started": "it has been started",
    "refuelled": "it has been refuelled (and started)",
    "opened": "something has been opened",
    "crashed": "it has crashed or landed hard",
}
"""Each includes the ones before it."""

ANSWERS = tuple(AnswerPart(what, said) for what, said in SAID.items())


def since_page(walk: Walk) -> Page:
    """Return which answers still count."""
    told = "These answers of earlier today still count. You need not give them again."
    if len(walk.events) > 1:
        told = f"Your last answer that counts was at {clock(walk.answered_at)}. Then comes the question again."
        told += " What was in order counts on, unless something has happened:"
    checks = walk.scope.checks
    healthy = (
        Line(f"{checks[name].name}, {clock(given.at)}", "✓")
        for name, given in walk.state.answers.items()
        if checks[name].answers[given.answer].healthy
    )
    return Paragraph(told), *healthy
