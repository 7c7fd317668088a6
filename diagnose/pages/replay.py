"""An outing step by step: what happened, what was believed then, and what was owed before a needle."""

from __future__ import annotations

from diagnose.graph.say import say
from diagnose.graph.wording import capital, minutes
from diagnose.pages.beside import mark
from diagnose.pages.dates import clock
from diagnose.pages.parts import AnswerPart, Bar, Gap, Heading, Line, Page, Paragraph, Timed
from diagnose.reason import events as ev
from diagnose.reason.view import View
from diagnose.workshop.replaying import Replayed

NEXT, BEFORE, BACK = "next", "before", "back"
MOST = 5
"""Suspects that are shown."""
OTHER_KNOWLEDGE = "What is known has changed since then. Belief, and what was owed, are said here by today's knowledge."
FIRST = "these looks come first"
ALL_FITS = "Every answer in it still fits."


def heading(found: Replayed, number: int) -> str:
    """Say which step of how many it is; `number` from 0."""
    return f"Step {number + 1} of {len(found.walks)}"


def step_of(found: Replayed, number: int) -> Page:
    """Return what event `number` did, and what followed from it then; `number` from 0, and shown."""
    walk = found.walks[number]
    event = walk.events[-1]
    view = walk.view(event.at)
    refused = (Line(one.why, "! not taken today:") for one in found.differs if one.number == number)
    return (
        Paragraph(f"{clock(event.at)} · {_happened(found, number, view)}", "strong"),
        *refused,
        *_ended(view),
        *_believed(view),
        *_owed(view),
        *((Gap(), Line(view.step.title, "→ next:")) if view.step is not None else ()),
    )


def _happened(found: Replayed, number: int, view: View) -> str:
    """Say what an event was."""
    walk = found.walks[number]
    line = next((one for one in reversed(view.trail) if one.number == number and number), None)
    if line is not None:
        return line.what if line.mark == "·" else f"{mark(line)} {line.what}"
    match walk.events[-1]:
        case ev.Started():
            return f"it began: {view.symptom_name}"
        case ev.Retracted(number=taken):
            before = found.walks[number - 1].view(walk.events[-2].at).trail
            return f"taken back: {next((one.what for one in before if one.number == taken), 'a step')}"
        case ev.Told(question=question) if question in walk.knowledge.history:
            return f"{say(walk.knowledge.history[question].ask, walk.knowledge, walk.variant)} Nothing to tell."
        case ev.Told():
            return "nothing to tell"
        case ev.Deadline():
            return "no more hurry"
        case ev.HeadRead():
            return "the head after it was not read"
        case ev.Noted():
            return "a note that was taken back later"
        case _:
            return capital(view.verdict.because) if view.verdict is not None else "nothing else was said"


def _believed(view: View) -> Page:
    bars = tuple(Bar(one.name, one.share, one.likely) for one in view.suspects[:MOST])
    return (Gap(), Heading("what it could be then"), *bars) if bars else ()


def _owed(view: View) -> Page:
    if view.verdict is not None and view.verdict.cured:
        return ()
    owed = tuple(Timed(one.name, minutes(one.minutes)) for one in view.owed)
    locks = tuple(Line(FIRST if one.rule == 1 and owed else one.because, "! no needle:") for one in view.locks)
    return (Gap(), Heading("owed before a needle then"), *(owed or (Line("nothing"),)), *locks)


def _ended(view: View) -> Page:
    if view.verdict is None:
        return ()
    return (Paragraph(f"{capital(view.verdict.outcome)}: {view.verdict.because.rstrip('.')}.", "strong"),)


def answers(found: Replayed, number: int) -> tuple[AnswerPart, ...]:
    """Return where one can go from a step."""
    return (
        *((AnswerPart(NEXT, "the next step"),) if number + 1 < len(found.walks) else ()),
        *((AnswerPart(BEFORE, "the step before"),) if number else ()),
        AnswerPart(BACK, "back"),
    )


def what_differs(found: Replayed) -> Page:
    """Say what of an outing is not as it was: where the knowledge has changed, and where it can be shown no further."""
    if found.same and not found.stops:
        return ()
    told = [] if found.same else [Paragraph(OTHER_KNOWLEDGE)]
    told += [Paragraph(ALL_FITS)] if not (found.same or found.differs or found.stops) else []
    stops = f"{len(found.walks)} of its {found.length} steps can be shown: {found.stops}."
    return (
        *told,
        *(Line(one.why, f"! step {one.number + 1}:") for one in found.differs),
        *((Line(stops, "!"),) if found.stops else ()),
    )
