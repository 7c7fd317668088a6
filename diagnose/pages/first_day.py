"""First-day mode: one instruction at a time, its picture first, and each word of the trade explained where it stands.

It shows the steps of the same walk. What the hands do is told in portions; the last one stands with the question.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import NamedTuple

from diagnose.graph.model import Knowledge, Variant
from diagnose.graph.say import say, terms_in
from diagnose.graph.wording import capital
from diagnose.pages import turns
from diagnose.pages.end import found_normal, handed_over
from diagnose.pages.parts import (
    AnswerPart,
    CautionPart,
    DrawingPart,
    Gap,
    Line,
    Page,
    Paragraph,
    Part,
    Term,
    answers,
    grouped,
)
from diagnose.pages.step import needed
from diagnose.reason.events import CANT_TELL, NO_TOOL
from diagnose.reason.remaining import still_to_come
from diagnose.reason.view import Step, View
from diagnose.reason.walk import Walk

HEADING = "Your first day"
OTHER, WHOLE = "other", "whole"
ELSEWHERE = AnswerPart(OTHER, "it runs, but badly")
EVERYTHING = AnswerPart(WHOLE, "show me everything at once")
LEAD = "lead"
OFFER: Page = (
    Paragraph("It is new to you.", "strong"),
    Paragraph("Shall I show one thing at a time, and explain each word? The answers so far are kept."),
)
OFFERED = (AnswerPart(LEAD, "yes, one thing at a time"), AnswerPart(WHOLE, "no, everything at once"))
ON, OFF = "One thing at a time from here. Nothing is lost.", "Everything at once from here. Nothing is lost."

NEXT = "go on"
"""The answer that goes on to the next portion."""
DONE = AnswerPart(NEXT, "done")
CANT = AnswerPart(CANT_TELL, "I don't know, or I can't do it")
MOST_WORDS = 33
"""Words of what the hands do, on one screen: what a small screen shows below its picture."""
MOST_TERMS = 2
"""Words of the trade that one screen explains; the others stand behind its question mark."""


class Portion(NamedTuple):
    """Which part of a step is shown, counted from 1, and of how many."""

    number: int
    of: int
    does: tuple[str, ...]

    @property
    def last(self) -> bool:
        """Say whether the question stands here."""
        return self.number == self.of


class FirstDayPage(NamedTuple):
    """One screen of first-day mode, in sections."""

    heading: str
    note: Page
    """What followed from the answer before."""
    picture: Page
    hazard: Page
    does: Page
    """What the hands do, or what is asked and what to look for."""
    more: Page
    """The words of the trade that are used here, and what it is for."""
    answers: tuple[AnswerPart, ...]
    asks: bool
    """A question stands here, and not only what the hands do."""

    @property
    def text(self) -> Page:
        """All of it: the picture first, but below a question."""
        first = (self.does, self.hazard, self.picture) if self.asks else (self.picture, self.hazard, self.does)
        return grouped(self.note, *first, self.more)

    def brief(self, *, picture_first: bool = False) -> Page:
        """Return the same for a small screen: no empty row, and a hazard by its name alone."""
        named = (part for part in self.hazard if isinstance(part, CautionPart))
        hazard = tuple(CautionPart(part.name, level=part.level) for part in named)
        picture = tuple(map(_closed_up, self.picture))
        first = (picture, hazard, self.does) if picture_first else (hazard, self.does, picture)
        return tuple(
            part for section in (self.note, *first, self.more) for part in section if not isinstance(part, Gap)
        )


def _closed_up(part: Part) -> Part:
    """Return a drawing without its empty rows."""
    if not isinstance(part, DrawingPart):
        return part
    return DrawingPart("\n".join(row for row in part.picture.split("\n") if row.strip()), part.words)


def front_page(engine: Variant | None = None) -> Page:
    """Return what is said before the first question; `engine` is what is taken for granted where nobody has said."""
    taken = (Paragraph(f"Taken as: {engine.says()}.", "quiet"),) if engine is not None else ()
    return (
        Paragraph("One thing at a time.", "strong"),
        Paragraph("If you are young, have an adult beside you."),
        *taken,
        Gap(),
        Paragraph("What does it do?", "strong"),
    )


def front(known: Knowledge) -> tuple[AnswerPart, ...]:
    """Return what a dead engine can do, in the order in which a door tells it apart; nothing without a door."""
    explained = {symptom for fault in known.faults.values() for symptom in fault.explains}
    door = next((name for name in known.symptoms if name not in explained), "")
    if not door:
        return ()
    reached = [target for node in known.symptoms[door].route.values() for target in _leads(node)]
    names = [name for name in dict.fromkeys(reached) if name in known.symptoms]
    does = (AnswerPart(name, known.symptoms[name].name) for name in names)
    return (*does, ELSEWHERE, AnswerPart(door, "I don't know"), EVERYTHING)


def _leads(node: object) -> Iterable[str]:
    branches: dict[str, str] = getattr(node, "branches", {})
    return branches.values()


def portions(step: Step, known: Knowledge) -> tuple[Portion, ...]:
    """Return what the hands do in portions; what is only remembered is one."""
    check = known.checks.get(step.id) if step.kind in ("ask", "recheck") else None
    if check is not None and check.remembered:
        return (Portion(1, 1, step.how),)
    found: list[list[str]] = [[]]
    for line in step.how:
        if found[-1] and sum(len(one.split()) for one in (*found[-1], line)) > MOST_WORDS:
            found.append([])
        found[-1].append(line)
    return tuple(Portion(number, len(found), tuple(lines)) for number, lines in enumerate(found, 1))


def terms(step: Step, portion: Portion, known: Knowledge, explained: Iterable[str] = ()) -> tuple[str, ...]:
    """Return the words of the trade of a portion that have to be explained there: those that none before has had."""
    read = " ".join((*portion.does, *((step.ask, *(one.say for one in step.choices)) if portion.last else ())))
    before = set(explained)
    told = terms_in(read, known.words)
    return tuple(name for name in told if name not in before and not known.words[name].everyday)[:MOST_TERMS]


def first_day_page(
    walk: Walk, view: View, step: Step, portion: Portion, explain: Iterable[str] = (), warn: str = "", note: str = ""
) -> FirstDayPage:
    """Return one screen: it explains these words of the trade, names this hazard, and says what followed before."""
    known, engine = walk.knowledge, walk.variant
    heading = _heading(walk, view, step, portion)
    if step.kind == "refer":
        told = found_normal(step.ask, view) if step.normal else handed_over(step.ask, view, view.owed)
        return FirstDayPage(heading, (), (), (), told, (), answers(step.choices), asks=True)
    drawing = known.drawings.get(step.where) if portion.number == 1 else None
    picture: Page = (DrawingPart(drawing.picture, say(drawing.words, known, engine)),) if drawing else ()
    if step.turns and portion.number == 1:
        picture = (turns.faces(step.turns),)
    asked: Page = (Paragraph(step.ask, "strong"),) if portion.last or step.kind not in ("ask", "recheck") else ()
    explained = tuple(Term(name, say(known.words[name].say, known, engine)) for name in explain)
    return FirstDayPage(
        heading,
        tuple(Paragraph(one, "quiet") for one in (note, _again(step, portion)) if one),
        picture,
        _warned(warn, walk) if warn else (),
        (*_runs(step, portion), *asked, *map(Paragraph, portion.does), *(needed(step) if portion.number == 1 else ())),
        grouped(explained, _because(walk, step) if portion.last else ()),
        _answers(step) if portion.last else (DONE,),
        asks=portion.last,
    )


def unclear_page(walk: Walk, step: Step) -> Page:
    """Return all there is to understand a step: why it is made, what the picture shows, its words, what can mislead."""
    known, engine = walk.knowledge, walk.variant
    drawing, check = known.drawings.get(step.where), known.checks.get(step.id)
    why = say(check.why, known, engine) if check is not None and step.kind in ("ask", "recheck") else step.why
    return grouped(
        (Paragraph(step.ask, "strong"), Paragraph(why)),
        tuple(Line(line) for line in step.how),
        (Paragraph(say(drawing.words, known, engine)),) if drawing else (),
        tuple(Line(f"{one.say}: {one.means}") for one in step.choices if one.means),
        tuple(Term(name, say(known.words[name].say, known, engine)) for name in terms_in(step.text(), known.words)),
        (Paragraph(f"It can mislead: {step.misleads}"),) if step.misleads else (),
    )


def _heading(walk: Walk, view: View, step: Step, portion: Portion) -> str:
    """Say which step it is, which part of it, and how many are likely to follow."""
    part = f", part {portion.number} of {portion.of}" if portion.of > 1 else ""
    more = still_to_come(walk, step)
    after = "" if more is None else " · the last one" if not more else f" · about {more} more"
    return f"step {view.number}{part}{after}"


def _answers(step: Step) -> tuple[AnswerPart, ...]:
    """Return what can be said; that one can't tell, and that one has no tool, are one answer, and lead on."""
    said = [one for one in answers(step.choices) if one.id not in (CANT_TELL, NO_TOOL)]
    return (*said, CANT) if len(said) < len(step.choices) else tuple(said)


def _warned(name: str, walk: Walk) -> Page:
    """Return a hazard in one sentence; all of it is on the page of the hazards."""
    caution = walk.knowledge.cautions[name]
    first = re.split(r"(?<=[.?!])\s", say(caution.say, walk.knowledge, walk.variant))[0]
    return (CautionPart(caution.name, first, caution.level),)


def _runs(step: Step, portion: Portion) -> Page:
    """Say first that the engine will run or be cranked, and when; that it is off goes without saying."""
    return (Paragraph(step.engine_line, "lead"),) if step.engine != "off" and portion.number == 1 else ()


def _again(step: Step, portion: Portion) -> str:
    """Say why a step comes that would puzzle without its reason."""
    return step.why if step.why_first and portion.number == 1 else ""


def _because(walk: Walk, step: Step) -> Page:
    """Say in a sentence what the question is for."""
    check = walk.scope.checks.get(step.id) if step.kind in ("ask", "recheck") else None
    why = say(check.why, walk.knowledge, walk.variant) if check is not None else step.why
    return (Paragraph(f"Why: {capital(why)}", "quiet"),) if why else ()
