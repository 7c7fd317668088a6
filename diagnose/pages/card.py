"""One symptom's quick list, to be ticked with a pencil: each line says the state that is wanted."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from diagnose.graph.say import say
from diagnose.graph.wording import capital, minutes
from diagnose.pages import completion, hazards
from diagnose.pages.parts import AnswerPart, Field, Heading, Page, Paragraph, Part, Timed
from diagnose.reason.view import OwedLine, View
from diagnose.reason.walk import Walk

STOP = "Stop at the first line that is not so. Put that right, then try the car again."
GUARDS = "Not so? Then do not start it."
NOTHING = "No first look is owed."
NEEDLE = (
    AnswerPart("ticked", "Every line above is ticked."),
    AnswerPart("head", "The head is at <head-floor> to <head-ceiling>. At <head-stop> the engine is stopped at once."),
    AnswerPart("signs", "Two different signs say the same."),
)
"""What must be so before a needle is turned."""
HOUR = "Only then, and by one hour at most, a twelfth of a turn. Does it want more? Then something else is wrong."
RACE = f"{completion.RACE_AS_IT_IS}: a line without a tick could still show what stops or ruins it."
MEND = "Mend now: only what a line has shown. A guess in haste can harm it."


def card(walk: Walk, now: float) -> Page:
    """Return what is owed before a needle may be turned, in the walk's own order, with cautions and the needle rule."""
    known, engine, view = walk.knowledge, walk.variant, walk.view(now)
    beware = known.worst_first(name for line in view.owed for name in walk.scope.checks[line.check].cautions)
    count = f"{len(view.owed)} looks, {minutes(view.minutes_left)} in this order. {STOP}" if view.owed else NOTHING
    return (
        Paragraph(f"{capital(view.engine)}. {count}", "lead"),
        *hazards.named(beware, known),
        *_chunks(walk, view),
        *_completion(view),
        Heading("the needle comes last"),
        *(AnswerPart(one.id, say(one.text, known, engine)) for one in NEEDLE),
        Paragraph(HOUR),
        *((Heading("beware"), *hazards.side_by_side(beware, known, engine)) if beware else ()),
    )


def _chunks(walk: Walk, view: View) -> Iterator[Part]:
    """Yield the looks as they are made in one go, each chunk below what it is called and how the car stands for it."""
    checks, known = walk.scope.checks, walk.knowledge
    stood = ""
    for (name, state), group in groupby(view.owed, lambda line: (line.round, checks[line.check].state)):
        lines: list[OwedLine] = list(group)
        together = [f"{known.rounds[name].name}, {minutes(sum(line.takes for line in lines))}"] if name else []
        stands = [known.bench[state].say] if state != stood or not name else []
        yield Heading(": ".join([*together, *stands]))
        yield from (Timed(completion.line(line), minutes(line.minutes)) for line in lines)
        if all(checks[line.check].guard for line in lines):
            yield Paragraph(GUARDS, "strong")
        stood = state


def _completion(view: View) -> Page:
    """Say how many were ticked and what is left, and what can be done then."""
    return (
        Heading("when you stop"),
        *((Field("ticked", f"Ticked, of {len(view.owed)}"), Field("left", "Left out")) if view.owed else ()),
        AnswerPart("race", RACE),
        AnswerPart("mend now", MEND),
        AnswerPart("stay out", completion.STAY_OUT),
    )
