"""An entry of the knowledge as it will be met: the step of a check or a mend, or how a symptom's walk begins."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from diagnose.graph.model import Knowledge, Variant, every_variant
from diagnose.graph.model.base import Only
from diagnose.graph.say import say, terms_in
from diagnose.pages.beside import owed
from diagnose.pages.hazards import in_full
from diagnose.pages.parts import Gap, Heading, Page, Paragraph, grouped
from diagnose.pages.step import step_page
from diagnose.reason import events as ev
from diagnose.reason.looking import Looking
from diagnose.reason.steps import StepMaker
from diagnose.reason.view import Choice, Step
from diagnose.reason.walk import Walk, begin


class Preview(NamedTuple):
    """A page, what can be answered to it, and what is no part of it."""

    page: Page
    choices: tuple[Choice, ...]
    besides: Page
    """Where it comes up, and which of its words are explained."""


def previews(known: Knowledge, name: str, symptom: str | None = None) -> Iterator[Preview]:
    """Yield the pages of every entry with this id, in a walk of `symptom`, or of the first in which it can come."""
    if name in known.checks:
        yield _check(known, name, symptom)
    if name in known.faults:
        yield _fault(known, name, symptom)
    if name in known.symptoms:
        yield _symptom(known, name)


def _check(known: Knowledge, name: str, symptom: str | None) -> Preview:
    check = known.checks[name]
    named = check.named()
    comes = [one for one in known.symptoms if named & known.explaining(one, _engine(check.only)).keys()]
    walk = _begun(known, symptom or next(iter(comes), next(iter(known.symptoms))), _engine(check.only))
    early = Looking(walk.standing).early("first").get(name)
    can_show = ", ".join(known.faults[fault].name for fault in known.faults if fault in named) or "no fault"
    why = f"Your club looks at it early: {early.rstrip('.')}. " if early else ""
    return _step(walk, StepMaker(walk.standing).check(name, f"{why}It can show: {can_show}."), _comes(known, comes))


def _fault(known: Knowledge, name: str, symptom: str | None) -> Preview:
    fault = known.faults[name]
    comes = [one for one in known.symptoms if one in fault.explains]
    walk = _begun(known, symptom or next(iter(comes), next(iter(known.symptoms))), _engine(fault.only))
    return _step(walk, StepMaker(walk.standing).mend(name, say(fault.what, known)), _comes(known, comes))


def _symptom(known: Knowledge, name: str) -> Preview:
    symptom = known.symptoms[name]
    walk = _begun(known, name, Variant())
    step = walk.step(walk.started.at)
    page = grouped(
        (
            Heading(symptom.name),
            *(Paragraph(say(one, known)) for one in (symptom.does, symptom.sounds) if one),
        ),
        in_full(symptom.cautions, known, walk.variant),
        owed(walk.view(walk.started.at)),
    )
    first = Paragraph(f"It begins with: {step.title}." if step is not None else "It has no first step.", "quiet")
    return Preview(page, (), (first,))


def _begun(known: Knowledge, symptom: str, engine: Variant) -> Walk:
    return begin(known, ev.Started(0.0, known.digest, symptom, "", engine))


def _engine(only: Only) -> Variant:
    """Return an engine that the entry is for: the usual one, where it is."""
    return next((one for one in (Variant(), *every_variant()) if only.fits(one)), Variant())


def _step(walk: Walk, step: Step, comes: str) -> Preview:
    page = step_page(walk.view(walk.started.at), step, walk.knowledge, walk.variant)
    words = ", ".join(terms_in(step.text(), walk.knowledge.words))
    explained = f"Words that are explained: {words}." if words else "None of its words is explained."
    whole = (*page.asked, Gap(), *page.text, Gap(), *page.hazards) if page.hazards else (*page.asked, Gap(), *page.text)
    return Preview(whole, step.choices, (Paragraph(comes, "quiet"), Paragraph(explained, "quiet")))


def _comes(known: Knowledge, symptoms: list[str]) -> str:
    """Say in which walks it can come up."""
    names = ", ".join(known.symptoms[name].name for name in symptoms)
    return f"It can come up in: {names}." if names else "It can come up in no walk yet: it explains no symptom."
