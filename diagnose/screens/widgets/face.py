"""A screw as a twelve-hour face, looking at its slot: where it points, where it must point, where it stood."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from diagnose.graph.wording import capital
from diagnose.reason.view import Turn

APART = "   "
WIDTH = 17
ROUND = 12

_SIDE = 7
"""Columns of a face left of its middle, and right of it."""

_ROWS = ((12,), (11, 1), (10, 2), (9, 3), (8, 4), (7, 5), (6,))
_SET_IN = (0, 2, 0, 0, 0, 2, 0)
"""How far each row is set in, so that the numbers stand round."""

_HANDS = {
    12: {(1, 8): "│", (2, 8): "│"},
    1: {(2, 9): "╱", (1, 10): "╱"},
    2: {(2, 10): "╱", (3, 9): "─"},
    3: {(3, 9): "─", (3, 10): "─"},
    4: {(4, 10): "╲", (3, 9): "─"},
    5: {(4, 9): "╲", (5, 10): "╲"},
    6: {(4, 8): "│", (5, 8): "│"},
    7: {(4, 7): "╱", (5, 6): "╱"},
    8: {(4, 6): "╱", (3, 7): "─"},
    9: {(3, 7): "─", (3, 6): "─"},
    10: {(2, 6): "╲", (3, 7): "─"},
    11: {(2, 7): "╲", (1, 6): "╲"},
}
"""The strokes of the hand towards each hour: what stands in a row and a column, where nothing else does."""


class Mark(NamedTuple):
    """A place on a face: hours outwards from where the slot points to 12, and the sign that stands beside its hour."""

    hours: float
    sign: str


def _drawn(cells: Mapping[int, str], hand: int | None) -> list[str]:
    """Return the lines of a face with these cells in place of the bare hours, and a hand that points to one."""
    rows = []
    for places, inwards in zip(_ROWS, _SET_IN, strict=True):
        shown = [cells.get(hour, f" {hour} ") for hour in places]
        if len(shown) == 1:
            spare = WIDTH - len(shown[0])
            rows.append(f"{'':{spare // 2}}{shown[0]}".ljust(WIDTH))
            continue
        left, right = (" " * max(min(inwards, _SIDE - len(cell)), 0) for cell in shown)
        rows.append((left + shown[0]).ljust(WIDTH - len(shown[1] + right)) + shown[1] + right)
    grid = [list(row) for row in rows]
    grid[3][WIDTH // 2] = "●"
    for (row, column), stroke in _HANDS[hand].items() if hand else ():
        if grid[row][column] == " ":
            grid[row][column] = stroke
    return ["".join(row) for row in grid]


def face(turn: Turn) -> list[str]:
    """Return the lines of the face: ``(12)`` is where the slot points now, ``[1]`` or ``[11]`` where it must point."""
    right, half = turn.clockwise, turn.hours < 1
    arrow = ("─½→" if half else "──→") if right else ("←½─" if half else "←──")
    cells = {12: f"   (12){arrow}" if right else f"{arrow}(12)   "}
    if not half:
        cells |= {1: "[1]"} if right else {11: "[11]"}
    return _drawn(cells, 12)


def dial(now: float | None, marks: Iterable[Mark] = ()) -> list[str]:
    """Return the lines of the face of a screw that stands `now` hours out, its full turns left aside.

    Out goes to the left, as the slot does. ``(10)`` is where it points; a mark is its sign beside its hour, and ``½``
    is halfway to the next hour on the face. Without `now`, there is no hand.
    """
    signs: dict[tuple[int, str], str] = {}
    for mark in marks:
        place = _place(mark.hours)
        signs[place] = signs.get(place, "") + mark.sign
    pointed = None if now is None else _place(now)
    shown: dict[int, list[str]] = {}
    for place in sorted({*signs, *([pointed] if pointed else [])}, key=lambda place: place[1]):
        hour, half = place
        said = f"({hour}{half})" if place == pointed else f"{hour}{half}"
        beside = signs.get(place, "")
        shown.setdefault(hour, []).append(said + beside if hour in (12, 1, 2, 3, 4, 5) else beside + said)
    cells = {hour: " ".join(parts) for hour, parts in shown.items()}
    return _drawn({hour: cell if "(" in cell else f" {cell} " for hour, cell in cells.items()}, pointed and pointed[0])


def _place(hours: float) -> tuple[int, str]:
    """Return the hour on the face for hours outwards, to the half: its number, and a half past it or nothing."""
    halves = round(-hours * 2) % (2 * ROUND)
    return halves // 2 or ROUND, "½" if halves % 2 else ""


def side_by_side(blocks: Sequence[Sequence[str]], width: int, apart: str = APART) -> list[str]:
    """Return blocks of lines beside each other, as many in a row as `width` has room for, in rows of like length."""
    block = max((len(line) for lines in blocks for line in lines), default=0)
    room = max((width + len(apart)) // (block + len(apart)), 1)
    rows = -(-len(blocks) // room)
    room = -(-len(blocks) // rows) if rows else 1
    shown: list[str] = []
    for first in range(0, len(blocks), room):
        together = blocks[first : first + room]
        for number in range(max(map(len, together))):
            line = apart.join((one[number] if number < len(one) else "").ljust(block) for one in together)
            shown.append(line.rstrip())
        shown.append("")
    return shown[:-1]


def faces(turns: Sequence[Turn], width: int) -> list[str]:
    """Return the faces of several screws under their names, side by side where `width` has room."""
    return side_by_side([[capital(turn.screw).center(WIDTH), *face(turn)] for turn in turns], width)
