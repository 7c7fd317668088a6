"""A job that gets a car ready, step by step."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from diagnose.graph.model import Knowledge, Preparation, Variant
from diagnose.graph.say import say
from diagnose.graph.wording import minutes
from diagnose.pages import hazards
from diagnose.pages.parts import Field, Heading, HowTo, Page, Paragraph, Timed

TICK = "Enter: so it is. n: it is not so, or I did not look. q: leave."
NOT_SO = "Not ticked."
COUNTS = "A walk of today counts what is ticked, until it runs or is mended. It asks both guards again."
NOT_RUN = "Do not start it: throttle and fail-safe come first."
UNTICKED = "Is a line about the throttle or the fail-safe not ticked? Then do not start it."


def preparation(known: Knowledge, name: str) -> Page:
    """Say what is needed, what to beware of, and what the hands do."""
    step = known.preparations[name]
    return (
        Heading(f"{step.name}, {minutes(step.minutes)}"),
        *_before(known, name),
        *(HowTo(say(line, known), number) for number, line in enumerate(step.do, 1)),
    )


def look_to_tick(known: Knowledge, name: str, engine: Variant) -> str:
    """Return a check that is ticked by itself: its name, and the state that is wanted."""
    check = known.checks[name]
    return f"{check.name}: {say(check.answers[check.healthy].say, known, engine)}"


def completed(known: Knowledge, looks: Sequence[str], sound: Collection[str]) -> Page:
    """Say how many were ticked, what is left, and what follows from that."""
    left = [known.checks[look] for look in looks if look not in sound]
    count = f"{len(looks) - len(left)} of {len(looks)} ticked"
    if not left:
        return (Paragraph(f"{count}. {COUNTS}", "strong"),)
    names = ", ".join(check.name for check in left)
    unsafe = f" {NOT_RUN}" if any(check.guard for check in left) else ""
    return (Paragraph(f"{count}, {len(left)} left: {names}.{unsafe} {COUNTS}", "strong"),)


def ticked(known: Knowledge, name: str) -> Page:
    """Say the same with a box for each thing that the hands do, for a pencil."""
    step = known.preparations[name]
    unsafe = any(known.checks[look].guard for look in step.looks)
    return (
        Paragraph(f"{minutes(step.minutes)}. {_needed(step)}".rstrip(), "lead"),
        *hazards.named(step.cautions, known),
        Heading("what the hands do"),
        *(Timed(say(line, known), "") for line in step.do),
        Heading("when you stop"),
        Field("ticked", f"Ticked, of {len(step.do)}"),
        Field("left", "Left out"),
        *((Paragraph(UNTICKED, "strong"),) if unsafe else ()),
        *((Heading("beware"), *hazards.side_by_side(step.cautions, known, None)) if step.cautions else ()),
    )


def _before(known: Knowledge, name: str) -> Page:
    step = known.preparations[name]
    return (
        *([Paragraph(_needed(step))] if step.tools else []),
        *hazards.side_by_side(step.cautions, known, None),
    )


def _needed(step: Preparation) -> str:
    return f"You need: {', '.join(step.tools)}" if step.tools else ""
