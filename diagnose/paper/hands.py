"""Where things lie on a twelve-hour face that is drawn: 12 at the top, the hours clockwise."""

from __future__ import annotations

from collections.abc import Iterable
from math import cos, radians, sin

HOUR = 30.0
"""Degrees."""
NEAR = 0.5
"""Hours, within which two signs would lie on one another."""


def hand(hour: float, length: float) -> str:
    """Return where a hand of a length ends that points to an hour, from the middle: "x,y", y downwards."""
    x, y = _end(hour, length)
    return f"{x:.1f},{y:.1f}"


def sweep(hours: float, radius: float) -> str:
    """Return the path of an arc from 12, so many hours clockwise; anticlockwise where they are negative."""
    return f"M {hand(0, radius)} A {radius:g},{radius:g} 0 0 {int(hours > 0)} {hand(hours, radius)}"


def beside(marks: Iterable[tuple[float, str]]) -> list[tuple[float, str]]:
    """Return where the face has its marks, as clock hours; signs that would lie on one another stand side by side.

    `marks`: the hours out of each, and its sign.
    """
    found: dict[float, str] = {}
    for hours, sign in marks:
        at = round(-hours % 12, 1) % 12
        near = next((other for other in found if min(abs(at - other), 12 - abs(at - other)) < NEAR), at)
        found[near] = f"{found.get(near, '')}{sign}"
    return list(found.items())


def _end(hour: float, length: float) -> tuple[float, float]:
    angle = radians(hour * HOUR)
    return length * sin(angle), -length * cos(angle)
