"""Time: how many minutes there are, what is owed in them, the moment to close the car up, and the last word."""

from __future__ import annotations

from typing import NamedTuple

from diagnose.graph.wording import capital, minutes
from diagnose.pages.completion import completion, left_out, line
from diagnose.pages.dates import clock
from diagnose.pages.parts import AnswerPart, Heading, Page, Paragraph
from diagnose.reason.view import View

ASKS = "minutes until you must be there: "


class TimePage(NamedTuple):
    """The sections of the time; the `looks` are checks that can be answered."""

    told: Page
    looks: tuple[AnswerPart, ...]
    word: Page


def time_page(view: View, now: float, *, brief: bool = False) -> TimePage:
    """Return what the time says at `now` (seconds since the epoch); `brief` where there is little room."""
    owed = Heading("in this order:" if view.owed else "No owed check fits in that time.")
    looks = tuple(AnswerPart(one.check, f"{line(one)}, {minutes(one.minutes)}") for one in view.owed)
    if view.deadline is None:
        told = "Say how many minutes there are, and the list shows what finds most in them."
        return TimePage((Paragraph(told), owed), looks, completion(view, brief=brief))
    told = f"{minutes(view.deadline)} to go. " if view.deadline > 0 else "The time is up. "
    left = view.close_up or 0.0
    at = clock(now + left * 60)
    told += f"Close the car up in {minutes(left)}, at {at}." if left > 0 else "Close the car up now."
    word = *left_out(view), *completion(view, brief=brief), Paragraph(capital(view.last_word_because), "quiet")
    return TimePage((Paragraph(told), owed), looks, word)
