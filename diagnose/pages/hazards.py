"""Hazards: read in full before the questions, looked up later, and what to do when something goes wrong."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from diagnose.graph.model import Knowledge, Variant
from diagnose.graph.say import say
from diagnose.graph.wording import capital
from diagnose.pages.parts import AnswerPart, CautionPart, HowTo, Page, Paragraph, grouped

WHICH = "! Something is wrong: which is it?"
URGENT = "! Something is wrong: do this now"
ANOTHER = AnswerPart("another", "something else is wrong")


class Before(NamedTuple):
    """What is read before a question."""

    text: Page
    answer: AnswerPart


def heading(*, stop_first: bool) -> str:
    """Return what stands above hazards that are read before a question."""
    return "Is it running now? Stop it." if stop_first else "Before you go on"


def before_page(
    names: Sequence[str], known: Knowledge, engine: Variant | None = None, *, stop_first: bool = False
) -> Before:
    """Return these hazards in full; for what can run away, stopping it comes first."""
    told = in_full(names, known, engine)
    if not stop_first:
        return Before(told, AnswerPart("read", "I have read this"))
    now = next((known.cautions[name].now for name in names if known.cautions[name].now), ())
    stop = _numbered(now, known, engine)
    return Before(grouped(stop, told), AnswerPart("read", "it stands still, and I have read this"))


def hazards_page(known: Knowledge, engine: Variant | None = None, first: Sequence[str] = ()) -> Page:
    """Return all hazards in full, the `first` ones, those of the step at hand, before the others."""
    rest = [name for name in known.cautions if name not in first]
    return grouped(in_full(known.worst_first(first), known, engine, ", for this step"), in_full(rest, known, engine))


def urgent(known: Knowledge, engine: Variant | None = None) -> dict[str, Page]:
    """Return what to do now about each hazard, by its id; a front end asks which, and shows one alone."""
    return {
        name: (Paragraph(capital(caution.name), "urgent"), *_numbered(caution.now, known, engine))
        for name, caution in known.cautions.items()
        if caution.now
    }


def in_full(names: Iterable[str], known: Knowledge, engine: Variant | None, mark: str = "") -> Page:
    """Return hazards with all that is to be known of them."""
    found = [known.cautions[name] for name in names]
    return grouped(*((CautionPart(one.name + mark, say(one.say, known, engine), one.level),) for one in found))


def _numbered(lines: Iterable[str], known: Knowledge, engine: Variant | None) -> Page:
    return tuple(HowTo(say(line, known, engine), number) for number, line in enumerate(lines, 1))
