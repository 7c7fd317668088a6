"""What is chosen from in a list: entries under headings, narrowed down by what is sought."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from textual.widgets.option_list import Option

from diagnose.pages import parts
from diagnose.screens.widgets.text import hung, plain

UNBROKEN = 10_000


class ListEntry(NamedTuple):
    """One thing to choose, or (without an id) a heading over what follows."""

    id: str
    say: str


def entries(page: parts.Page) -> list[ListEntry]:
    """Return what can be chosen of a page, under its headings."""
    return [
        ListEntry(part.id if isinstance(part, parts.AnswerPart) else "", part.text)
        for part in page
        if isinstance(part, (parts.AnswerPart, parts.Heading))
    ]


def options(
    entries: Sequence[ListEntry], sought: str = "", fitting: Sequence[str] = (), width: int = UNBROKEN
) -> list[Option]:
    """Return the entries as options; with something sought those fitting, those that have it, and no headings.

    A line that is longer than `width` cells goes on below, set in.
    """
    words = sought.casefold().split()
    found = [
        entry for entry in entries if not words or (entry.id and all(word in entry.say.casefold() for word in words))
    ]
    if words:
        known = {entry.id: entry for entry in entries if entry.id}
        found = list(dict.fromkeys([*(known[one] for one in fitting if one in known), *found]))
    return [
        Option(hung("  ", entry.say, width, then="    "), id=entry.id)
        if entry.id
        else Option(plain(entry.say, "bold $primary"), disabled=True)
        for entry in found
    ]
