"""Hazards: read in full before the questions, looked up later, and what to do when something goes wrong."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from diagnose.graph.model import Knowledge, Variant
from diagnose.graph.model.shelf import Level
from diagnose.graph.say import say
from diagnose.graph.wording import capital
from diagnose.pages.parts import AnswerPart, CautionPart, Field, Heading, HowTo, Line, Page, Paragraph, grouped

WHICH = "! Something is wrong: which is it?"
URGENT = "! Something is wrong: do this now"
THIS_PLACE = "write down for this place"
ASKED_HERE = (
    "Emergency number",
    "Where we are, and the way in",
    "Extinguisher and water",
    "First-aid box",
    "Experienced adult",
)
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
    return grouped(*((part,) for part in _full(names, known, engine, mark)))


def _full(names: Iterable[str], known: Knowledge, engine: Variant | None, mark: str = "") -> Iterator[CautionPart]:
    for one in map(known.cautions.__getitem__, names):
        yield CautionPart(one.name + mark, say(one.say, known, engine), one.level)


def named(names: Iterable[str], known: Knowledge) -> Page:
    """Name hazards in a line for each level, the worst first: what is told in full elsewhere on the same sheet."""
    by_level: dict[Level, list[str]] = {}
    for name in known.worst_first(names):
        by_level.setdefault(known.cautions[name].level, []).append(known.cautions[name].name)
    return tuple(Line(" · ".join(told), f"{capital(level)}:", "strong") for level, told in by_level.items())


def side_by_side(names: Iterable[str], known: Knowledge, engine: Variant | None) -> Page:
    """Return hazards in full with nothing between them, the worst first, for where they stand in columns."""
    return tuple(_full(known.worst_first(names), known, engine))


def emergency(known: Knowledge, engine: Variant | None = None) -> Page:
    """Return what to do now about every hazard, for a sheet that hangs on the wall, with room for where it hangs."""
    each = ((Heading(known.cautions[name].name), *page[1:]) for name, page in urgent(known, engine).items())
    return (
        *(part for page in each for part in page),
        Heading(THIS_PLACE),
        *(Field(asked, asked) for asked in ASKED_HERE),
    )


def _numbered(lines: Iterable[str], known: Knowledge, engine: Variant | None) -> Page:
    return tuple(HowTo(say(line, known, engine), number) for number, line in enumerate(lines, 1))
