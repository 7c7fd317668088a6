"""A round: what is looked at in one go, as a list that is ticked line by line, each line with what it should show."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import takewhile
from typing import NamedTuple

from diagnose.graph.say import say
from diagnose.graph.wording import minutes
from diagnose.pages.hazards import in_full
from diagnose.pages.lean import not_yet
from diagnose.pages.parts import AnswerPart, Line, Page, Paragraph
from diagnose.reason.view import OwedLine, Step, View
from diagnose.reason.walk import Walk

SOUND, OTHERWISE = "sound", "otherwise"
"""What is said of the line at hand: that it is as it should be, or that its own answers are wanted."""

PLAIN_KEY = "+"


class RoundPage(NamedTuple):
    """The lines of a round, the one at hand among them, and what can be said of that one."""

    heading: str
    lines: Page
    answers: tuple[AnswerPart, ...]
    check: str
    """The check of the line at hand."""
    healthy: str
    """The answer that ticks it."""
    wanted: str
    """The same in words."""


def round_page(walk: Walk, view: View, step: Step | None, new: Sequence[str] = ()) -> RoundPage | None:
    """Return the list that the step stands on, with what is `new` to beware of in full.

    None where it is on none, or asks for a number.
    """
    if step is None or step.kind != "ask" or step.reading is not None or not view.owed or view.owed[0].check != step.id:
        return None
    ahead = _together(view)
    checks, known = walk.scope.checks, walk.knowledge
    found = known.rounds.get(ahead[0].round)
    listed = found.checks if found is not None else (step.id,)
    done = [name for name in listed if walk.state.healthy(walk.scope, name) and not walk.state.answers[name].carried]
    count = f"{len(done) + 1} of {len(done) + len(ahead)}"
    name = found.name if found is not None else checks[step.id].name
    took = minutes(max(sum(line.takes for line in ahead), 0.5))
    told = (
        *(Line(_wanted(walk, one), "✓", "quiet") for one in done),
        Line(_wanted(walk, step.id), "▸", "strong"),
        *(Line(_wanted(walk, line.check), "·") for line in ahead[1:]),
    )
    hazards = " · ".join(known.cautions[hazard].name for hazard in step.cautions if hazard not in new)
    also = len(view.owed) - len(ahead)
    after = f"{also} more behind this list" if also else "nothing more behind this list"
    healthy = checks[step.id].healthy
    wanted = say(checks[step.id].answers[healthy].say, known, walk.variant)
    return RoundPage(
        f"{name} · {count} · {took}",
        (
            Paragraph(step.engine_line, "lead"),
            *not_yet(view),
            *([Line(hazards, "!", "warning")] if hazards else []),
            *in_full(new, known, walk.variant),
            *told,
            Paragraph(f"{after}, {minutes(view.minutes_left)} in all", "quiet"),
        ),
        (
            AnswerPart(SOUND, f"so it is: {wanted}"),
            AnswerPart(OTHERWISE, f"otherwise, or how to look: {checks[step.id].name}"),
        ),
        step.id,
        healthy,
        wanted,
    )


def _together(view: View) -> list[OwedLine]:
    """Return the owed looks that are made in one go now, the one at hand first."""
    first = view.owed[0]
    if not first.round:
        return [first]
    return list(takewhile(lambda line: line.round == first.round, view.owed))


def _wanted(walk: Walk, name: str) -> str:
    """Name a look with the state that it should show."""
    check = walk.scope.checks[name]
    return f"{check.name}: {say(check.answers[check.healthy].say, walk.knowledge, walk.variant)}"


def in_one_go(walk: Walk, view: View, step: Step) -> str:
    """Say what ticks the step, and where it stands on its list; "" where it stands on none."""
    page = round_page(walk, view, step)
    return "" if page is None else f", or {PLAIN_KEY} if it is so: {page.wanted} ({page.heading})"
