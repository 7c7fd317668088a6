"""Cautions in full, as text for a page."""

from __future__ import annotations

from collections.abc import Iterable

from textual.content import Content

from diagnose.graph.model import Knowledge
from diagnose.graph.say import say
from diagnose.graph.wording import capital
from diagnose.screens.widgets.text import hung


def in_full(names: Iterable[str], known: Knowledge, width: int, mark: str = "") -> list[Content]:
    """Return each caution with what to do about it, an empty line after each; `mark` stands behind their names."""
    shown: list[Content] = []
    for name in names:
        caution = known.cautions[name]
        shown += [
            hung("! ", f"{capital(caution.name)}{mark}", width, "bold $warning"),
            hung("  ", say(caution.say, known), width),
            Content(""),
        ]
    return shown
