"""A picture in text as SVG: each sign has its own place, so that no phone's font can break the columns."""

from __future__ import annotations

from markupsafe import Markup

from diagnose.graph.wording import clean
from diagnose.pages.parts import DrawingPart

WIDE, HIGH = 6, 12
"""A cell."""


def drawn(drawing: DrawingPart) -> Markup:
    """Return a picture in text as SVG; who can't see it reads its words."""
    rows = clean(drawing.picture).rstrip("\n").split("\n")
    width = max(map(len, rows)) * WIDE
    lines = [_row(row, number) for number, row in enumerate(rows, 1) if row.strip()]
    return Markup('<svg class="drawing" viewBox="-3 0 {} {}" aria-hidden="true">{}</svg>').format(
        width + 9, len(rows) * HIGH + 3, Markup("").join(lines)
    )


def _row(row: str, number: int) -> Markup:
    cells = [(at * WIDE, sign) for at, sign in enumerate(row) if sign != " "]
    places = " ".join(str(at) for at, _ in cells)
    return Markup('<text y="{}" x="{}">{}</text>').format(number * HIGH, places, "".join(sign for _, sign in cells))
