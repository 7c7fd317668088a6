"""Screws as faces side by side, with where they stand in words below them where there is room."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.pages.parts import Dial
from diagnose.screens.widgets.face import WIDTH, Mark, dial, side_by_side
from diagnose.screens.widgets.text import hung

BESIDE = 64
"""Columns from which on there is room for words below a face."""
APART = "  "
MOST = 4
"""The most faces that stand in a row."""


def faces_of(dials: Sequence[Dial], width: int) -> list[str]:
    """Return the faces as lines for `width` columns."""
    words = width >= BESIDE and any(one.below for one in dials)
    block = max((width + len(APART)) // MOST - len(APART), WIDTH) if words else WIDTH
    return side_by_side([_block(one, block, one.below if words else ()) for one in dials], width, APART)


def _block(screw: Dial, width: int, below: Sequence[str]) -> list[str]:
    """Return the lines of one screw: its name, its face, and the words below it."""
    marks = [Mark(*mark) for mark in screw.marks]
    face = dial(screw.hours, marks if screw.hours is not None else ())
    words = [line for said in below for line in hung("", said, width).plain.split("\n")]
    return [line.ljust(width) for line in [screw.name.center(WIDTH), *face, *words]]
