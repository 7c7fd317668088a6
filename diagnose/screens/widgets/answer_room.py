"""How the rows of the bench are shared between how a step is done and its answers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from diagnose.pages import parts
from diagnose.reason.events import CANT_TELL, NO_TOOL
from diagnose.reason.view import Choice
from diagnose.screens.widgets.choices import rows
from diagnose.screens.widgets.rendered import rendered

ANSWERS_SHARE = 0.45
"""Each answer says below it what it means, if all of them then take no more than this share of the height."""

TEXT_SHARE = 0.33
"""And if how it is done then has this share at least, or all that it needs."""

ALWAYS = frozenset({CANT_TELL, NO_TOOL})
"""The answers that each check has: where there is no room for all, they stand in one line below the list."""


class AnswerRoom(NamedTuple):
    """How the answers stand."""

    height: int
    """Rows of their list."""
    roomy: bool = False
    """Each says what it means."""
    apart: bool = False
    """Those that each check has stand below the list."""
    scrolls: bool = False
    """The list does not show all of its answers at once."""


def answer_room(
    choices: Sequence[Choice], text: parts.Page, width: int, free: int, height: int, *, together: bool = False
) -> AnswerRoom:
    """Share `free` rows of a page that is `height` rows high; `together` keeps all answers in the list.

    The first step of how it is done stays in sight, and so does an answer that is marked, with what it means.
    """
    steps = [number for number, part in enumerate(text, 1) if isinstance(part, parts.HowTo)]
    first = steps[0] if steps else len(text)
    least = _rows(text[:first], width) + (first < len(text))
    every = rows(choices, width + 2)
    left = free - min(least, free - (every.marked if every.marked <= free // 2 else every.one))
    how = _rows(text, width) if steps else 0
    if every.told <= min(left, height * ANSWERS_SHARE, free - min(how, height * TEXT_SHARE)):
        return AnswerRoom(every.told, roomy=True)
    if every.marked <= left or together or not any(one.id in ALWAYS for one in choices):
        return AnswerRoom(min(every.marked, left))
    some = rows([one for one in choices if one.id not in ALWAYS], width + 2)
    left -= some.said > left  # what says that there are more takes a row
    return AnswerRoom(min(some.marked, left), apart=True, scrolls=some.said > left)


def _rows(text: parts.Page, width: int) -> int:
    return rendered(text, width).plain.count("\n") + 1 if text else 0
