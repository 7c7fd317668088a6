"""What comes next for a learner, and why; and what practice has done, with the honesty that few figures ask for."""

from __future__ import annotations

from diagnose.graph.model import Knowledge
from diagnose.pages.parts import AnswerPart, Gap, Heading, Line, Page, Paragraph
from diagnose.practice.effect import FEWEST, ChangeWord, Effect, TwoMeans
from diagnose.practice.way import NextEngine, WhyNext

HEADING = "What to practise next"
NOTHING = "This knowledge has no fault that a simulated engine could have."
NO_PAIR = "Too few yet to say. It needs a first and a second fault of one area, each worked at alone."
LEVELS = (
    "a worked example first; then the program makes the looks, and you put it right",
    "the program makes the first looks, and you make the rest",
    "alone, from the first look on",
)
EXAMPLE = "Read how the program goes about it, and why. The next engine is yours; something else is wrong there."
EXAMPLE_HEADING = "A worked example"
GO_ON = AnswerPart("own", "go on to your own engine")
BEGIN = AnswerPart("begin", "begin")
CHANGES: dict[ChangeWord, str] = {
    "too few": "too few yet to say",
    "none": "no clear change",
    "less": "less, and hardly by chance",
    "more": "more, and hardly by chance",
}


def why(made: NextEngine) -> str:
    """Say why this engine comes next. It does not say what is wrong with it."""
    said: dict[WhyNext, str] = {
        "sister": f"a hint showed you the step, so here is another fault of the same area: {made.family}",
        "missed": f"the last one of this area did not go well, and another was between: {made.family}",
        "again": f"it went well, and it has been a while: {made.family}",
        "new": f"you have not worked at this area yet: {made.family}",
        "any": f"of what you know, this was longest ago: {made.family}",
    }
    return said[made.why]


def next_line(known: Knowledge, made: NextEngine | None) -> str:
    """Return in a line what comes next for a learner."""
    if made is None:
        return NOTHING
    name = known.lessons[made.lesson].name if made.lesson else known.symptoms[made.symptom].name
    return f"{name}; {LEVELS[made.level]}. Why: {why(made)}."


def next_up(known: Knowledge, made: NextEngine | None) -> Page:
    """Say what comes next for a learner, and why."""
    if made is None:
        return (Paragraph(NOTHING),)
    lesson = known.lessons.get(made.lesson)
    return (
        Paragraph(lesson.name if lesson else known.symptoms[made.symptom].name, "strong"),
        Line(f"{why(made)}.", "why:"),
        Line(f"{LEVELS[made.level]}.", "how:"),
    )


def effect(found: Effect) -> Page:
    """Say what practice has done, at the first and at the second fault of an area."""
    heading = Heading("the first fault of an area, and the second")
    if found.minutes is None or found.hazards is None or found.early is None:
        return (heading, Paragraph(NO_PAIR))
    count = len(found.pairs)
    pairs = "one pair" if count == 1 else f"{count} pairs"
    few = f"; from {FEWEST} on it may be told from chance" if count < FEWEST else ""
    return (
        heading,
        Paragraph(f"Counted over {pairs}{few}. Both were worked at alone."),
        _measured("minutes, in those that the program takes", found.minutes, "×"),
        _measured("risks", found.hazards),
        _measured("screws turned too early", found.early),
        Gap(),
    )


def _measured(what: str, found: TwoMeans, sign: str = "") -> Line:
    return Line(f"{what}: {found.first:.1f}{sign}, then {found.second:.1f}{sign}: {CHANGES[found.change]}.")
