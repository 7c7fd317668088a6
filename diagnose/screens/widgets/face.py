"""A screw as a twelve-hour face, seen looking at its slot: where the slot points, and where it must point."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.reason.view import Turn
from diagnose.screens.widgets.text import capital

HAND = {"leaner": "right", "in": "right", "richer": "left", "out": "left"}
CLOCK = {"right": "clockwise", "left": "anticlockwise"}
APART = "   "

FACE = (
    "   {left}(12){right}   ",
    "  {eleven}  │   {one}  ",
    " 10     │      2 ",
    " 9      ●      3 ",
    " 8             4 ",
    "   7         5   ",
    "        6        ",
)
WIDTH = len(FACE[2])


def amount(hours: float) -> str:
    """Write hours for people."""
    return {1.0: "one hour", 0.5: "half an hour"}.get(hours, f"{hours:g} hours")


def face(turn: Turn) -> list[str]:
    """Return the lines of the face: ``(12)`` is where the slot points now, ``[1]`` or ``[11]`` where it must point."""
    right, half = HAND[turn.way] == "right", turn.hours < 1
    arrow = ("─½→" if half else "──→") if right else ("←½─" if half else "←──")
    places = {
        "left": "   " if right else arrow,
        "right": arrow if right else "   ",
        "eleven": " 11 " if right or half else "[11]",
        "one": "[1]" if right and not half else " 1 ",
    }
    return [line.format(**places) for line in FACE]


def faces(turns: Sequence[Turn], width: int) -> list[str]:
    """Return the faces of several screws under their names, side by side where `width` has room."""
    blocks = [[capital(turn.screw).center(WIDTH), *face(turn)] for turn in turns]
    if len(turns) * (WIDTH + len(APART)) - len(APART) <= width:
        return [APART.join(rows).rstrip() for rows in zip(*blocks, strict=True)]
    return [row.rstrip() for block in blocks for row in [*block, ""]]


def directions(turns: Sequence[Turn]) -> list[str]:
    """Return in words what the faces show."""
    said = [_direction(turn) for turn in turns]
    said.append("(12) is where the slot points now, as you look at it.")
    said += [_stands(turn) for turn in turns if turn.stands]
    if any(turn.screw == "low needle" for turn in turns):
        said.append("A low screw that lets in air works the other way round: see the maker's sheet.")
    return said


def _direction(turn: Turn) -> str:
    hand = HAND[turn.way]
    hour = "1" if hand == "right" else "11"
    to = f"half way to {hour}" if turn.hours < 1 else hour
    return f"{capital(turn.screw)}: screwdriver to the {hand} ({CLOCK[hand]}), {amount(turn.hours)}, from 12 to {to}."


def _stands(turn: Turn) -> str:
    fuel = turn.screw != "idle stop"
    way = ("richer" if fuel else "further in") if turn.stands > 0 else ("leaner" if fuel else "further out")
    return f"The {turn.screw} stands {amount(abs(turn.stands))} {way} than at the last good tune."
