"""Belief over time, drawn in text: a row for each fault, a column for each step."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.pages.parts import Belief
from diagnose.reason.likelihood import BANDS

SHADES = tuple((least, sign) for (least, _), sign in zip(BANDS, "█▓▒░·", strict=True))
"""How strongly a fault was believed in, by the words that the walk has for it."""
GONE = "✓"
"""Stands from the step on that put the fault right."""
LEGEND = "  ".join([*(f"{sign} {word}" for (_, word), sign in zip(BANDS, "█▓▒░·", strict=True)), f"{GONE} put right"])
NAME = 26
"""Columns of their names."""


def picture(rows: Sequence[Belief], width: int) -> list[str]:
    """Return the rows for `width` columns; steps that do not fit are drawn in further blocks.

    What was really wrong is marked with a star.
    """
    name_width = min(NAME, max(width - 12, 8))
    room = max(width - name_width - 3, 4)
    drawn: list[str] = []
    steps = max((len(row.shares) for row in rows), default=0)
    for start in range(0, steps, room):
        numbers = range(start + 1, min(start + room, steps) + 1)
        drawn.append(f"{'step'.ljust(name_width)}   {_ruler(numbers)}")
        for row in rows:
            short = row.name if len(row.name) <= name_width else row.name[: name_width - 1] + "…"
            cells = "".join(_cell(row, number) for number in numbers)
            drawn.append(f"{short.ljust(name_width)} {'*' if row.wrong else ' '} {cells}")
    return drawn


def _ruler(numbers: Sequence[int]) -> str:
    """Return the numbers of steps above their columns, every fifth."""
    row = [" "] * len(numbers)
    for column, number in enumerate(numbers):
        said = str(number)
        if (number % 5 == 0 or number == 1) and column + len(said) <= len(row):
            row[column : column + len(said)] = said
    return "".join(row).rstrip()


def _cell(row: Belief, number: int) -> str:
    if row.right_from and number >= row.right_from:
        return GONE
    return next(sign for least, sign in SHADES if row.shares[number - 1] >= least)
