"""What is handed over: what was looked at, what is still owed, and the plea not to turn the needles."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from diagnose.reason.view import OwedLine, View
from diagnose.screens.widgets.text import hung, lines, minutes

PLEASE = "Please don't turn the needles"


def handed_over(because: str, view: View, owed: Sequence[OwedLine], width: int) -> Content:
    """Return the hand-over for `width` columns; its plain text is the sheet."""
    shown = [hung("", because, width), Content("")]
    groups = (
        ("I looked at, and it was well", "✓ ", [line.what for line in view.trail if line.mark == "ok"]),
        ("I found, or was not sure of", "! ", [line.what for line in view.trail if line.mark in ("!", "?")]),
        ("I did", "→ ", [line.what for line in view.trail if line.mark == "→"]),
        ("Still owed", "· ", [f"{line.name}, {minutes(line.minutes)}" for line in owed]),
    )
    for said, mark, found in groups:
        if found:
            shown.append(Content.styled(f"{said}:", "bold"))
            shown.extend(hung(mark, line, width) for line in found)
            shown.append(Content(""))
    until = " until what is owed has been looked at" if owed else ""
    shown.append(hung("", f"{PLEASE}{until}.", width, "bold"))
    return lines(shown)
