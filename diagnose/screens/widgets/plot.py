"""Small plots made of text. What they show is also said in words beside them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # no first screen waits for the tune bench
    from diagnose.tune.slope import Logged, Slope
    from diagnose.tune.trend import Point

MOST_ROWS = 9
STEPS = (0.5, 1.0, 2.0, 4.0, 8.0, 16.0)
"""Hours from one row to the next: the first that leaves no more than `MOST_ROWS`."""

LABEL = 6
"""Columns of the hours and the line beside them."""

EACH = 3
"""Columns from one entry to the next."""


def drift(points: Sequence[Point], width: int, when: Callable[[float], str]) -> list[str]:
    """Return a line over the newest entries that fit, oldest first: hours from the baseline upwards for richer.

    ``●`` is an entry, ``g`` one that marks a good tune; `when` writes the time of the first and the last below.
    """
    shown = points[-max((width - LABEL) // EACH, 2) :]
    if not shown:
        return []
    step = next((one for one in STEPS if _rows(shown, one) <= MOST_ROWS), STEPS[-1])
    levels = [round(point.hours / step) for point in shown]
    top, bottom = max(0, *levels), min(0, *levels)
    grid = [[" "] * (EACH * len(shown)) for _ in range(top - bottom + 1)]
    for number, (point, level) in enumerate(zip(shown, levels, strict=True)):
        column = EACH * number
        grid[top - level][column] = "g" if point.good else "●"
        if number + 1 < len(shown):
            _join(grid, column + 1, top - level, top - levels[number + 1])
    lines = [_label((top - row) * step) + "".join(cells).rstrip() for row, cells in enumerate(grid)]
    first, last = when(shown[0].at), when(shown[-1].at)
    apart = max(EACH * len(shown) - len(first) - len(last), 3)
    return [*lines, " " * LABEL + (first if len(shown) == 1 or first == last else f"{first}{'':{apart}}{last}")]


def _rows(points: Sequence[Point], step: float) -> int:
    levels = [round(point.hours / step) for point in points]
    return max(0, *levels) - min(0, *levels) + 1


def _label(hours: float) -> str:
    return f"{hours:+4g} │" if hours else "   0 ┼"


def _join(grid: list[list[str]], column: int, row: int, to: int) -> None:
    """Draw the line from an entry in `row` to the next one in the row `to`."""
    if row == to:
        grid[row][column] = grid[row][column + 1] = "─"
        return
    down = to > row
    grid[row][column] = "┐" if down else "┘"
    grid[to][column] = "└" if down else "┌"
    grid[to][column + 1] = "─"
    for between in range(min(row, to) + 1, max(row, to)):
        grid[between][column] = "│"


ROWS, WIDEST = 10, 60
"""Of the plot of a slope, without its labels."""

ROOM = 0.1
"""The share of its span that is left free at each end of an axis, or of the value when all are the same."""


def slope(tunes: Sequence[Logged], found: Slope, width: int) -> list[str]:
    """Return the good tunes with the line through them: turns open upwards, denser air to the right."""
    columns = min(width - LABEL - 2, WIDEST)
    if len(tunes) < 2 or columns < 2:
        return []
    left, right = _span([tune.density for tune in tunes])
    low, high = _span([tune.turns for tune in tunes])
    grid = [[" "] * columns for _ in range(ROWS)]

    def put(density: float, turns: float, sign: str) -> None:
        row = round((high - turns) / (high - low) * (ROWS - 1))
        if 0 <= row < ROWS:
            grid[row][round((density - left) / (right - left) * (columns - 1))] = sign

    for column in range(columns):
        density = left + (right - left) * column / (columns - 1)
        if (turns := found.turns(density)) is not None:
            put(density, turns, "·")
    for tune in tunes:
        put(tune.density, tune.turns, "×" if tune in found.left_out else "●")
    labels = {0: f"{high:5.2f} │", ROWS - 1: f"{low:5.2f} │"}
    lines = [labels.get(row, "      │") + "".join(cells).rstrip() for row, cells in enumerate(grid)]
    first, last = f"{left:.3f}", f"{right:.3f} kg/m³"
    return [*lines, " " * (LABEL + 1) + f"{first}{last:>{max(columns - len(first), len(last) + 1)}}"]


def _span(values: Sequence[float]) -> tuple[float, float]:
    """Return the ends of an axis that holds these values."""
    spare = ROOM * (max(values) - min(values) or max(values))
    return min(values) - spare, max(values) + spare
