"""A car's tune over time as SVG that prints in black on one page: a strip for each screw, and one for the heads."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor
from typing import NamedTuple

from diagnose.graph.wording import clean, fahrenheit
from diagnose.pages.dates import date_and_clock, day
from diagnose.pages.over_time import MomentMark, Strip
from diagnose.paper.sheet import templates

PAGE = (190.0, 250.0)
"""Millimetres that are printed on, of A4 as of Letter."""
WIDE, DEEP = 760.0, 1000.0
"""The drawing: four units are a millimetre."""
LEFT, RIGHT, ABOVE, BELOW = 110.0, 30.0, 50.0, 40.0
"""Room beside, above and below the strips."""
NAME, BETWEEN = 22.0, 26.0
"""Above each strip for its name, and between two."""
TALLEST = 220.0
STEPS = (1, 2, 3, 6, 12, 24, 48, 96), (1, 2, 5, 10, 20, 50, 100, 200)
"""Between the lines of a scale: in hours, of which twelve are one turn, and in °C."""
LINES, TIMES = 5, 5
APART = 44.0
"""Units between two values that are written out."""
DAY = 86_400.0


class ScaleLine(NamedTuple):
    """A line of a scale."""

    at: float
    text: str


class Drawn(NamedTuple):
    """A value at its place; `said` is written beside it."""

    x: float
    y: float
    mark: MomentMark
    said: str


class Lane(NamedTuple):
    """A strip at its place."""

    name: str
    top: float
    bottom: float
    scale: tuple[ScaleLine, ...]
    line: tuple[tuple[float, float], ...]
    """The corners of its line; none where values are single readings."""
    values: tuple[Drawn, ...]


def svg(title: str, strips: Sequence[Strip]) -> str:
    """Return the strips, of which there is one at least, as one SVG document."""
    times = [at for strip in strips for at in (*(one.at for one in strip.values), strip.until)]
    first, last = min(times), max(times)
    high = min(TALLEST, (DEEP - ABOVE - BELOW) / len(strips) - NAME - BETWEEN)
    lanes = []
    for number, strip in enumerate(strips):
        top = ABOVE + NAME + number * (high + NAME + BETWEEN)
        lanes.append(_lane(strip, top, top + high, first, last))
    deep = lanes[-1].bottom + BELOW
    return (
        templates()
        .get_template("tune.svg")
        .render(
            title=clean(title),
            lanes=lanes,
            times=_times(first, last),
            left=LEFT,
            right=WIDE - RIGHT,
            wide=WIDE,
            deep=deep,
            scale=min(PAGE[0] / WIDE, PAGE[1] / deep),
        )
    )


def _lane(strip: Strip, top: float, bottom: float, first: float, last: float) -> Lane:
    values = [one.value for one in strip.values]
    is_head = strip.name == "Head"
    step = next((one for one in STEPS[is_head] if (max(values) - min(values)) / one <= LINES - 2), STEPS[is_head][-1])
    least, most = step * floor(min(values) / step - 0.25), step * ceil(max(values) / step + 0.25)

    def y(value: float) -> float:
        return bottom - (value - least) / (most - least) * (bottom - top)

    scale = tuple(ScaleLine(y(at), _said(at, is_head=is_head)) for at in range(least, most + 1, step))
    drawn: list[Drawn] = []
    line: list[tuple[float, float]] = []
    written = -APART
    for one in strip.values:
        at, now = _x(one.at, first, last), y(one.value)
        if line:
            line.append((at, line[-1][1]))  # it stood there until then
        line.append((at, now))
        says = at - written >= APART
        written = at if says else written
        drawn.append(Drawn(at, now, one.mark, f"{one.value:g}" if says else ""))
    if not is_head:
        line.append((_x(strip.until, first, last), line[-1][1]))
    return Lane(f"{strip.name}, {strip.unit}", top, bottom, scale, () if is_head else tuple(line), tuple(drawn))


def _said(value: float, *, is_head: bool) -> str:
    return f"{value:g} ({fahrenheit(value):.0f})" if is_head else f"{value:g}"


def _x(at: float, first: float, last: float) -> float:
    """Return how far to the right a time stands; all of one moment in the middle."""
    share = (at - first) / (last - first) if last > first else 0.5
    return LEFT + share * (WIDE - RIGHT - LEFT)


def _times(first: float, last: float) -> tuple[ScaleLine, ...]:
    """Return the days below the strips; the time of day too, where all of it lies within a few."""
    say = day if last - first > TIMES * DAY else date_and_clock
    count = TIMES if last > first else 1
    found: dict[str, ScaleLine] = {}
    for number in range(count):
        at = first + (last - first) * number / max(count - 1, 1)
        found.setdefault(say(at), ScaleLine(_x(at, first, last), say(at)))
    return tuple(found.values())
