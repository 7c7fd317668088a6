"""What is handed over, as text for a page; its plain text is the sheet to take along."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from diagnose.graph.wording import minutes
from diagnose.reason.hand_over import Group, groups, please
from diagnose.reason.view import OwedLine, View
from diagnose.screens.widgets.text import hung, lines


def handed_over(because: str, view: View, owed: Sequence[OwedLine], width: int) -> Content:
    """Return the hand-over for `width` columns."""
    shown = [hung("", because, width), Content("")]
    still_owed = tuple(f"{line.name}, {minutes(line.minutes)}" for line in owed)
    for group in [*groups(view), *([Group("Still owed", "·", still_owed)] if owed else [])]:
        shown.append(Content.styled(f"{group.heading}:", "bold"))
        shown.extend(hung(f"{group.mark} ", line, width) for line in group.lines)
        shown.append(Content(""))
    return lines([*shown, hung("", please(owed), width, "bold")])
