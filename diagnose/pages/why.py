"""Why this step: the numbers behind it. Weights are judgement, and the page says so."""

from __future__ import annotations

from diagnose.graph.say import say
from diagnose.graph.wording import minutes, outings
from diagnose.pages.beside import NOT_YET
from diagnose.pages.parts import Bar, Gap, Heading, Line, Page, Paragraph
from diagnose.reason.explain import why
from diagnose.reason.likelihood import likely, times
from diagnose.reason.view import Step, View
from diagnose.reason.walk import Walk

JUDGED = "These numbers are worked out from the judgement of people who know such engines. They are no measurement."


def why_page(walk: Walk, view: View, step: Step) -> Page:
    """Return what the step is good for, how likely each suspect is, and what keeps the needles locked."""
    looks = step.kind in ("ask", "recheck")
    if not view.suspects:
        told = say(walk.scope.checks[step.id].why, walk.knowledge, walk.variant) if looks else ""
        return (
            *((Paragraph(told), Gap()) if told else ()),
            Paragraph(NOT_YET),
            Gap(),
            *(Line(lock.because, f"! rule {lock.rule}:") for lock in view.locks),
        )
    return (
        Paragraph(step.why, "strong"),
        Gap(),
        *((*check_page(walk, step.id), Gap()) if looks else ()),
        Heading("what it could be"),
        *(Bar(suspect.name, suspect.share, suspect.likely) for suspect in view.suspects),
        Gap(),
        *(Line(lock.because, f"! rule {lock.rule}:") for lock in view.locks),
        Gap(),
        Paragraph(JUDGED, "quiet"),
        *_learned(walk),
    )


def _learned(walk: Walk) -> Page:
    """Say how many of the club's outings count in what it could be."""
    learned = walk.started.learned
    many = learned.outings(walk.symptom) if learned else 0
    if not many:
        return ()
    counts = "counts" if many == 1 else "count"
    return (Paragraph(f"{outings(many)} of your club {counts} in it as well: a mend cured the same there.", "quiet"),)


def check_alone(walk: Walk, check: str) -> Page:
    """Return the same for a check that is looked up: its name and its question first."""
    found = why(walk, check)
    return (
        Heading(f"{found.name}, {minutes(found.minutes)}"),
        Paragraph(walk.ask(check).ask),
        *check_page(walk, check),
    )


def check_page(walk: Walk, check: str) -> Page:
    """Return what a check can show, and what it unlocks."""
    found = why(walk, check)
    shows = tuple(
        Line(f"{name}: {likely(belief)}. If it is that, this shows it {times(chance)}.")
        for name, chance, belief in found.suspects
    )
    told = say(walk.scope.checks[check].why, walk.knowledge, walk.variant)
    unlocks = Line(", ".join(found.unlocks), "A healthy answer rules these out:")
    return (
        *(Paragraph(told), Paragraph(found.sentence), Gap()),
        *((Heading("what it can show"), *shows) if shows else ()),
        *((Gap(), unlocks) if found.unlocks else ()),
        *((Gap(), Line(", ".join(found.blind), "It says nothing about these forms:")) if found.blind else ()),
    )
