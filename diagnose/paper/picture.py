"""A route drawn in layers, as SVG that prints in black on one page: each kind of node has its own shape and word.

The layers are those of Sugiyama's method (1981): a node lies below all that lead to it, a way that crosses layers bends
through a place of its own in each, and the places of a layer are ordered by the middle of what they hang on.
"""

from __future__ import annotations

import textwrap
from collections import Counter
from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

import networkx as nx

from diagnose.graph.wording import clean
from diagnose.pages.route import Box, Passage, RoutePicture
from diagnose.paper.sheet import templates

LINE = 13
"""Each line of a box's text, in units of the drawing."""
BESIDE = 12
"""What a way takes that goes by in a layer."""
APART, DOWN = 22, 18
"""Between boxes of a layer, and between layers without an answer."""
ROW = 13
"""From one answer to the next, of those that lead away from one box."""
FANNED = 5
"""The part of a box's width that lies between the ways that leave it."""
PAGE = (190.0, 250.0)
"""Millimetres that are printed on, of A4 as of Letter; a picture may lie on its side."""
TITLE, OF_TITLE = 30, 9.5
"""Above the first box, and a letter of it."""
MOST_LINES, ELLIPSIS = 4, " …"
"""In a box, and how the last one ends where there are more."""
LETTER, OF_KIND = 5.3, 4.6
"""A letter of a box's text, and of the word for its kind."""
LARGEST = 0.5
"""Millimetres of a unit: a small route is not blown up until it looks like a poster."""
SLANT = 18
"""Beside what is written in a box, for its slanted or rounded ends."""
SWEEPS = 12


class BoxMeasure(NamedTuple):
    """How boxes are made: how wide, and whether the word for the kind stands `beside` the text, or above it."""

    wide: float
    beside: bool

    @property
    def edge(self) -> float:
        """Return what a box is higher than its lines."""
        return 12 if self.beside else 22

    @property
    def answer(self) -> int:
        """Return the letters in a line of an answer."""
        return round(self.wide / 6.5)

    def kind(self, box: Box) -> float:
        """Return what the word for the kind takes of a line."""
        return OF_KIND * len(box.shape) + 8 if self.beside else 0.0

    def lines(self, box: Box) -> tuple[str, ...]:
        """Return a box's text in lines."""
        letters = int((self.wide - SLANT - self.kind(box) + (8 if not self.beside else -SLANT)) / LETTER)
        return tuple(textwrap.wrap(clean(box.text), letters, max_lines=MOST_LINES, placeholder=ELLIPSIS))


MEASURES = (
    *(BoxMeasure(wide, beside=False) for wide in (130, 150, 170)),
    *(BoxMeasure(wide, beside=True) for wide in (190, 230, 270, 310)),
)
"""Of which the one is taken that lets the picture be largest."""


class Spot(NamedTuple):
    """The middle of a box, or of a way that goes by, and how high its layer is."""

    x: float
    y: float
    high: float


class BoxAt(NamedTuple):
    """A box, where it is, its text in lines, and what the word for its kind takes of each."""

    box: Box
    place: Spot
    lines: tuple[str, ...]
    kind: float


class Bend(NamedTuple):
    """A way as a line through points, with the lines of its answer and where the first is written."""

    points: tuple[tuple[float, float], ...]
    answer: tuple[str, ...]
    at: tuple[float, float]
    taken: bool


class DrawnRoute(NamedTuple):
    """A route laid out, in units, and the millimetres that a unit may take on the page."""

    measure: BoxMeasure
    boxes: list[BoxAt]
    bends: list[Bend]
    left: float
    wide: float
    deep: float
    scale: float


def svg(title: str, found: RoutePicture) -> str:
    """Return the picture of a route as one SVG document."""
    title = clean(title)
    drawn = max((_drawn(title, found, measure) for measure in MEASURES), key=lambda one: (-_cut(one), one.scale))
    return (
        templates()
        .get_template("picture.svg")
        .render(
            title=title,
            boxes=drawn.boxes,
            bends=drawn.bends,
            left=drawn.left,
            wide=drawn.wide,
            deep=drawn.deep,
            above=TITLE,
            w=drawn.measure.wide,
            beside=drawn.measure.beside,
            slant=SLANT,
            row=ROW,
            scale=drawn.scale,
        )
    )


def _cut(drawn: DrawnRoute) -> int:
    """Return how many boxes do not hold all of their text."""
    return sum(bool(one.lines) and one.lines[-1].endswith(ELLIPSIS) for one in drawn.boxes)


def _drawn(title: str, found: RoutePicture, measure: BoxMeasure) -> DrawnRoute:
    places = _places(found, measure)
    bends = list(_bends(found, places, measure))
    half = measure.wide / 2
    across = [x for box in found.boxes for x in (places[box.id].x - half, places[box.id].x + half)]
    across += [x for bend in bends for x, _ in bend.points]
    across += [bend.at[0] + side * _half(bend.answer) for bend in bends for side in (-1, 1)]
    middle, room = (min(across) + max(across)) / 2, len(title) * OF_TITLE / 2
    across += [middle - room, middle + room]
    left, wide = min(across) - 8, max(across) - min(across) + 16
    deep = max(place.y + place.high / 2 for place in places.values()) + 8
    placed = [BoxAt(box, places[box.id], measure.lines(box), measure.kind(box)) for box in found.boxes]
    scale = max(min(page[0] / wide, page[1] / (deep + TITLE)) for page in (PAGE, PAGE[::-1]))
    return DrawnRoute(measure, placed, bends, left, wide, deep, min(scale, LARGEST))


def _half(answer: tuple[str, ...]) -> float:
    """Return half of what an answer takes across."""
    return max((len(line) for line in answer), default=0) * LETTER / 2


def _answer(way: Passage, measure: BoxMeasure) -> tuple[str, ...]:
    return tuple(textwrap.wrap(clean(way.answer), measure.answer))


def _bends(found: RoutePicture, places: dict[str, Spot], measure: BoxMeasure) -> Iterator[Bend]:
    """Yield the ways: those of one box fan out in the order of where they go, their answers one below the other."""
    layers = _layers(found)
    for box in found.boxes:
        ways = []
        for way in found.ways:
            if way.start == box.id:
                end = places[way.end]
                crossed = (places[one] for one in _dummies(box.id, way.end, layers))
                # upright between the boxes that it goes by
                upright = ((one.x, one.y + side * one.high / 2) for one in crossed for side in (-1, 1))
                ways.append((way, [*upright, (end.x, end.y - end.high / 2)]))
        ways.sort(key=lambda pair: pair[1][0][0])
        said = 0
        for number, (way, onward) in enumerate(ways):
            start, answer = places[box.id], _answer(way, measure)
            x0, y0 = start.x + (number - (len(ways) - 1) / 2) * measure.wide / FANNED, start.y + start.high / 2
            x1, y1 = onward[0]
            down = ROW * (said + 1)
            said += len(answer)
            yield Bend(((x0, y0), *onward), answer, (x0 + (x1 - x0) * down / (y1 - y0), y0 + down), way.taken)


def _layers(found: RoutePicture) -> dict[str, int]:
    """Return how far down each node lies: below all that lead to it."""
    graph: nx.DiGraph[str] = nx.DiGraph()
    graph.add_nodes_from(box.id for box in found.boxes)
    graph.add_edges_from((way.start, way.end) for way in found.ways)
    return {name: layer for layer, names in enumerate(nx.topological_generations(graph)) for name in names}


def _dummies(start: str, end: str, layers: dict[str, int]) -> list[str]:
    """Return the names of the places through which a way bends, one in each layer that it crosses."""
    return [f"{start}\n{end}\n{layer}" for layer in range(layers[start] + 1, layers[end])]


def _places(found: RoutePicture, measure: BoxMeasure) -> dict[str, Spot]:
    """Return where each node and each bend lies, x from the middle of the layers."""
    layers = _layers(found)
    rows: list[list[str]] = [[] for _ in range(max(layers.values()) + 1)]
    for name, layer in layers.items():
        rows[layer].append(name)
    hangs: list[tuple[str, str]] = []
    for way in found.ways:
        chain = [way.start, *_dummies(way.start, way.end, layers), way.end]
        for name in chain[1:-1]:
            rows[int(name.rpartition("\n")[2])].append(name)
        hangs += pairwise(chain)
    _untangle(rows, hangs)
    places: dict[str, Spot] = {}
    lines = {box.id: len(measure.lines(box)) for box in found.boxes}
    answers: Counter[str] = Counter()
    for way in found.ways:
        answers[way.start] += len(_answer(way, measure))
    top = 8.0
    for row in rows:
        high = measure.edge + LINE * max(lines.get(name, 0) for name in row)
        widths = [measure.wide if name in layers else BESIDE for name in row]
        x = -(sum(widths) + APART * (len(row) - 1)) / 2
        for name, width in zip(row, widths, strict=True):
            places[name] = Spot(x + width / 2, top + high / 2, high)
            x += width + APART
        top += high + DOWN + ROW * max(answers[name] for name in row)
    return places


def _untangle(rows: list[list[str]], hangs: list[tuple[str, str]]) -> None:
    """Order each row by the middle of what its places hang on, downwards and upwards in turn."""
    above: dict[str, list[str]] = {}
    below: dict[str, list[str]] = {}
    for start, end in hangs:
        above.setdefault(end, []).append(start)
        below.setdefault(start, []).append(end)
    for number in range(SWEEPS):
        beside, order = (above, rows) if number % 2 == 0 else (below, rows[::-1])
        at = {name: (place + 1) / (len(row) + 1) for row in rows for place, name in enumerate(row)}
        for row in order:
            middle = {
                name: sum(at[one] for one in beside[name]) / len(beside[name]) if name in beside else at[name]
                for name in row
            }
            row.sort(key=lambda name: middle[name])
            at |= {name: (place + 1) / (len(row) + 1) for place, name in enumerate(row)}
