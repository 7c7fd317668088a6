"""The window of head temperatures in which a screw is turned."""

from __future__ import annotations

from diagnose.pages.parts import AnswerPart, Gap, Line, Page, Paragraph
from diagnose.tune.window import Offer, Window

WHAT_FOR = (
    "A needle is turned leaner only with the head inside this window, and read at idle. It is not the temperature "
    "of a race: an engine that comes in hotter idles down into it."
)
OWN, GENERAL, LEAVE = "own", "general", "leave"


def answers(found: Offer | None) -> tuple[AnswerPart, ...]:
    """Return which window may be taken: its own where there is one."""
    own = found.window if found else None
    take = (AnswerPart(OWN, f"take over its own: {own.says()}"),) if own else ()
    return (*take, AnswerPart(GENERAL, "the general one"), AnswerPart(LEAVE, "leave it as it is"))


def window(now: Window, found: Offer) -> Page:
    """Say which window counts, what it is for, and what the engine's own heads come to."""
    return (Paragraph(f"It is {now.says()}.", "strong"), Paragraph(WHAT_FOR, "quiet"), Gap(), Paragraph(found.said))


def in_a_line(now: Window, found: Offer) -> Page:
    """Say between what its own heads lie, and which window counts."""
    return (Line(f"{found.ranges()}Window: {now.says()}."),)
