"""What is handed over: what was looked at, found and done, and what is still owed, in a few lists."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

from diagnose.reason.view import OwedLine, View

PLEASE = "Please don't turn the needles"


class Group(NamedTuple):
    """One list of the hand-over, with the sign that stands before each of its lines."""

    heading: str
    mark: str
    lines: tuple[str, ...]


def groups(view: View) -> list[Group]:
    """Return the lists that have something in them, apart from what is still owed."""
    made = (
        Group("I looked at these, and they were sound", "✓", _marked(view, "ok")),
        Group("I found", "!", _marked(view, "!")),
        Group("I could not tell, or was not sure", "?", _marked(view, "?")),
        Group("I did", "→", _marked(view, "→")),
        Group("I left open", "!", view.open),
        Group("I noted", "·", tuple(line.what for line in view.trail if line.noted)),
    )
    return [group for group in made if group.lines]


def please(owed: Sequence[OwedLine]) -> str:
    """Return the last line: what whoever takes over is asked."""
    return f"{PLEASE}{' until what is owed has been looked at' if owed else ''}."


def _marked(view: View, mark: str) -> tuple[str, ...]:
    # what was looked at twice counts as it came out last: what a second look has ruled out was not found
    newest = {line.check or line.what: line for line in view.trail if line.stands}
    times = Counter(line.what for line in view.trail if line.mark == "→")  # what was done twice was done twice
    return tuple(
        f"{line.what} ({times[line.what]} times)" if times[line.what] > 1 else line.what
        for line in newest.values()
        if line.mark == mark
    )
