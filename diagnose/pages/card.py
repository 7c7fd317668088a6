"""One symptom's quick list, to be ticked with a pencil: each line says the state that is wanted."""

from __future__ import annotations

from itertools import groupby

from diagnose.graph.say import say
from diagnose.graph.wording import minutes
from diagnose.pages.completion import completion, in_a_line
from diagnose.pages.parts import CautionPart, Heading, Page, Paragraph, Part, Timed
from diagnose.reason.walk import Walk

STOP = "At the first line that is not so, stop: put that right, then try it again."
NEEDLE = (
    "A needle comes last. It is turned when every line is ticked, the head is at <head-floor> to <head-ceiling>, and "
    "two different signs say the same. One hour at most, a twelfth of a turn, then listen. Does it want more? Then "
    "something else is wrong."
)


def card(walk: Walk, now: float) -> Page:
    """Return what is owed before a needle may be turned, in the walk's own order, with cautions and the needle rule."""
    known, engine = walk.knowledge, walk.variant
    view = walk.view(now)
    looks = [(walk.scope.checks[line.check], line) for line in view.owed]
    hazards = dict.fromkeys(name for check, _ in looks for name in check.cautions)
    listed: list[Part] = []
    for state, group in groupby(looks, lambda pair: pair[0].state):
        listed.append(Heading(f"{state}: {known.bench[state].say}"))
        for _, line in group:
            listed.append(Timed(in_a_line(line.name, line.wanted), minutes(line.minutes)))
    return (
        Paragraph(f"{view.engine}. {len(looks)} looks, {minutes(view.minutes_left)}. {STOP}", "strong"),
        *listed,
        *completion(view),
        Heading("the needle"),
        Paragraph(say(NEEDLE, known, engine)),
        Heading("beware"),
        *(CautionPart(known.cautions[name].name, say(known.cautions[name].say, known)) for name in hazards),
    )
