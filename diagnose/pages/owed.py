"""What is still owed before a needle may be turned, as a list to look up without a walk."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from diagnose.graph.model import Knowledge
from diagnose.graph.wording import minutes
from diagnose.pages.completion import completion, in_a_line, left_out
from diagnose.pages.lean import not_yet
from diagnose.pages.parts import Heading, Page, Paragraph, Table
from diagnose.reason.view import OwedLine, View


def looks_owed(view: View, known: Knowledge) -> Page:
    """Return the looks with their minutes and ids, round by round; with minutes to go, a last word."""
    nothing = "no first look is owed" if view.deadline is None else "nothing useful fits into these minutes"
    listed = Table(tuple(_rows(view.owed, known))) if view.owed else Paragraph(nothing)
    return (
        Heading(f"{view.symptom_name} · {view.engine}"),
        *not_yet(view),
        listed,
        *left_out(view),
        Paragraph(f"all that is owed: {minutes(view.minutes_left)}"),
        *(_close_up(view) if view.last_word else ()),
        *completion(view),
        *(_last_word(view) if view.last_word else ()),
    )


def _rows(owed: tuple[OwedLine, ...], known: Knowledge) -> Iterator[tuple[str, str, str]]:
    """Yield a row for each look; lines of a round that follow one another stand below its name, with its minutes."""
    number = 0
    for name, group in groupby(owed, key=lambda line: line.round or line.check):
        lines = list(group)
        if len(lines) > 1:
            yield "", f"{minutes(sum(line.takes for line in lines)):>8}", f"{known.rounds[name].name}, in one go:"
        for line in lines:
            number += 1
            alone = f"{minutes(line.takes):>8}" if len(lines) == 1 else ""
            yield f"{number:2}", alone, f"{in_a_line(line.name, line.wanted)}  ({line.check})"


def _close_up(view: View) -> Page:
    return (Paragraph(f"close the car up in {minutes(max(view.close_up or 0.0, 0.0))} at the latest"),)


def _last_word(view: View) -> Page:
    return (Paragraph(f"if you stop now: {view.last_word}. {view.last_word_because}"),)
