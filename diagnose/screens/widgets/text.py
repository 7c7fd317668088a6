"""Text that is safe to show: data is never read as markup, and nothing in it acts on the terminal."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from textwrap import wrap
from typing import Any

from textual.content import Content
from textual.style import Style

from diagnose.graph.wording import clean

GAP = "  "

FAINT = "auto 75%"
"""What stands beside a name in a list. It follows what is behind it, since one of them is marked."""

BAR = 8
"""Cells of the longest bar."""

MARK = 5
"""The most cells of what a text stays behind: words before it that are longer are a part of the text."""

SET_IN = 4
"""The most cells that further lines are set in."""


def plain(text: str, style: str = "") -> Content:
    """Return data as content, in one style; raises nothing, whatever the data."""
    return Content.styled(clean(text), style)


def lines(parts: Iterable[Content]) -> Content:
    """Join contents, one a line."""
    return Content("\n").join(parts)


def hung(first: str, text: str, width: int, style: str = "", then: str | None = None) -> Content:
    """Return `text` wrapped to `width` cells behind `first`; further lines stand behind `then`, or are set in."""
    further = " " * min(len(first), SET_IN) if then is None else then
    return Content.styled(_broken(first, text, max(width, 12), further), style)


@lru_cache(4096)  # from one step to the next most lines of the bench stay
def _broken(first: str, text: str, room: int, further: str) -> str:
    wrapped: list[str] = []
    for line in clean(text).split("\n"):
        start = further if wrapped else first
        if len(start) + len(line) <= room:
            wrapped.append(start + line.rstrip())
        else:
            before, told = (start, line) if len(start) <= MARK else ("", start + line)
            wrapped += wrap(told, room, initial_indent=before, subsequent_indent=further, break_on_hyphens=False) or [
                start
            ]
    return "\n".join(wrapped)


def tall(text: str, width: int, first: str = "") -> int:
    """Return how many rows `text` takes behind `first`, as `hung` wraps it."""
    return _broken(first, text, max(width, 12), " " * min(len(first), SET_IN)).count("\n") + 1


def bar(share: float, longest: int = BAR) -> str:
    """Return a bar for a share of one; what is there at all has at least one cell."""
    return "▇" * max(round(share * longest), 1)


def hints(shown: Iterable[tuple[str, str, str]], width: int) -> Content:
    """Return hints (a key, what it does, its action), each to be tapped; lines break between them, never inside one."""
    made, used = Content(""), 0
    for key, does, action in shown:
        said = clean(f"{key} {does}")
        if used and used + len(GAP) + len(said) > width:
            made, used = made + "\n", 0
        elif used:
            made, used = made + GAP, used + len(GAP)
        made, used = made + tap(Content(said).stylize("bold", 0, len(key)), action), used + len(said)
    return made


def tap(content: Content, action: str) -> Content:
    """Return content that does `action` when it is tapped."""
    meta: Any = {"@click": action}
    return content.stylize(Style.from_meta(meta))
