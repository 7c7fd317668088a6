"""What was seen unasked: it is found by a few words, recorded, and leads to a symptom or to a mend; or it is noted."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from diagnose.graph.model import Knowledge, Variant
from diagnose.graph.say import say
from diagnose.graph.wording import capital
from diagnose.pages.parts import AnswerPart, Heading, Page, Paragraph
from diagnose.reason.explain import ALSO, others
from diagnose.reason.seen import findings, fitting, recordable, shown

if TYPE_CHECKING:
    from diagnose.reason.walk import Walk

HEADING = "What did you see?"
SEEN_OPTION = "I saw something, and don't know what it belongs to"
SEEN = "something that was seen"
NOTE = "note/"
"""Stands before the text of a note, in what is chosen."""
FITS = "What does the car do?"
NOTHING_FITS = "That belongs to no complaint by itself. Choose what the car does."
NONE = "none"
NO_SYMPTOM = AnswerPart(NONE, "none of these: back to the first page")
NOTED = "Noted."
BY_WORDS = "Type a number, words for what you saw, note and your words, or Enter for none of these."
NOT_FOUND = "No look has that in it. Try another word, or keep it: note and your words."
MOST_FOUND = 8

Find = Callable[[str], Iterable[str]]
"""What finds the ids of looks by words."""


def listed(walk: Walk) -> Page:
    """Return all that can be said unasked: looks that bear on it, every other look, and what else the car does."""
    told = list(recordable(walk))
    near = {check for check, _ in walk.askable()}
    rest = [AnswerPart(one.check, _name(one.name, before=one.before)) for one in told if one.check not in near]
    also = [AnswerPart(one.id, one.say) for one in others(walk) if one.id.startswith(ALSO)]
    return (
        *(AnswerPart(one.check, one.name) for one in told if one.check in near),
        *_below("every other look", rest),
        *_below("what else it does", also),
    )


def _below(heading: str, answers: list[AnswerPart]) -> Page:
    return (Heading(heading), *answers) if answers else ()


def found(walk: Walk, typed: str, find: Find) -> tuple[AnswerPart, ...]:
    """Return what a few words find: what else the car does, looks, and to keep the words as a note."""
    told = {one.check: one for one in recordable(walk)}
    looks = [told[name] for name in find(typed) if name in told][:MOST_FOUND]
    words = typed.casefold().split()
    also = [
        one for one in others(walk) if one.id.startswith(ALSO) and all(word in one.say.casefold() for word in words)
    ]
    return (
        *(AnswerPart(one.id, one.say) for one in also),
        *(AnswerPart(one.check, _name(one.name, before=one.before)) for one in looks),
        AnswerPart(f"{NOTE}{typed.strip()}", f"keep it as a note: {typed.strip()}"),
    )


def _name(name: str, *, before: bool) -> str:
    return f"{name} (seen before, while it ran)" if before else name


def what_page(known: Knowledge, check: str) -> Page:
    """Return the question of a look that was made unasked."""
    return (Paragraph(say(known.checks[check].ask, known), "strong"),)


def what(known: Knowledge, check: str) -> tuple[AnswerPart, ...]:
    """Return what can have been seen there."""
    looked = known.checks[check]
    told = (looked.answers[name] for name in findings(looked))
    return tuple(
        AnswerPart(name, say(one.say, known), say(one.means or "", known))
        for name, one in zip(findings(looked), told, strict=True)
    )


def fits_page(known: Knowledge, engine: Variant, check: str, answer: str) -> Page:
    """Return what something seen shows, before the symptoms that it fits."""
    seen = Paragraph(f"{capital(known.checks[check].name)}: {say(known.checks[check].answers[answer].say, known)}.")
    if fault := shown(known, engine, check, answer):
        told = f"That shows it plainly: {known.faults[fault].name}. The walk says at once how it is put right."
        return seen, Paragraph(told, "strong")
    if not fitting(known, engine, check, answer):
        return seen, Paragraph(NOTHING_FITS, "strong")
    return (seen,)


def fits(known: Knowledge, engine: Variant, check: str, answer: str) -> tuple[AnswerPart, ...]:
    """Return the symptoms that it fits, best first."""
    found = fitting(known, engine, check, answer)
    return (
        *(AnswerPart(name, known.symptoms[name].name, say(known.symptoms[name].does, known)) for name in found),
        NO_SYMPTOM,
    )
