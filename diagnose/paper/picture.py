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

WIDE, LINE, EDGE = 170, 13, 22
"""A box, each line of its text, and what it is higher than its lines, in units of the drawing."""
BESIDE = 12
"""What a way takes that goes by in a layer."""
APART, DOWN = 22, 22
"""Between boxes of a layer, and between layers without an answer."""
ROW = 13
"""From one answer to the next, of those that lead away from one box."""
FAN = 34
"""Between the ways that leave one box."""
PAGE = (190.0, 250.0)
"""Millimetres that are printed on, of A4 as of Letter; a picture may lie on its side."""
TITLE = 30
"""Above the first box."""
LETTERS, MOST_LINES = 30, 3
"""In a line of a box, and lines in it."""
ANSWER = 26
"""Letters in a line of an answer."""
SWEEPS = 12


class Spot(NamedTuple):
    """The middle of a box, or of a way that goes by, and how high its layer is."""

    x: float
    y: float
    high: float


class BoxAt(NamedTuple):
    """A box, where it is, and its text in lines."""

    box: Box
    place: Spot
    lines: tuple[str, ...]


class Bend(NamedTuple):
    """A way as a line through points, with the lines of its answer and where the first is written."""

    points: tuple[tuple[float, float], ...]
    answer: tuple[str, ...]
    at: tuple[float, float]
    taken: bool


def svg(title: str, found: RoutePicture) -> str:
    """Return the picture of a route as one SVG document."""
    places = _places(found)
    bends = list(_bends(found, places))
    across = [x for box in found.boxes for x in (places[box.id].x - WIDE / 2, places[box.id].x + WIDE / 2)]
    across += [x for bend in bends for x, _ in bend.points]
    across += [bend.at[0] + side * ANSWER * 2.8 for bend in bends if bend.answer for side in (-1, 1)]
    left, wide = min(across) - 8, max(across) - min(across) + 16
    deep = max(place.y + place.high / 2 for place in places.values()) + 8
    placed = [BoxAt(box, places[box.id], _lines(box)) for box in found.boxes]
    scale = max(min(page[0] / wide, page[1] / (deep + TITLE)) for page in (PAGE, PAGE[::-1]))
    return (
        templates()
        .get_template("picture.svg")
        .render(
            title=clean(title),
            boxes=placed,
            bends=bends,
            left=left,
            wide=wide,
            deep=deep,
            above=TITLE,
            w=WIDE,
            row=ROW,
            scale=scale,
        )
    )


def _lines(box: Box) -> tuple[str, ...]:
    return tuple(textwrap.wrap(clean(box.text), LETTERS, max_lines=MOST_LINES, placeholder=" …"))


def _answer(way: Passage) -> tuple[str, ...]:
    return tuple(textwrap.wrap(clean(way.answer), ANSWER))


def _bends(found: RoutePicture, places: dict[str, Spot]) -> Iterator[Bend]:
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
            start, answer = places[box.id], _answer(way)
            x0, y0 = start.x + (number - (len(ways) - 1) / 2) * FAN, start.y + start.high / 2
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


def _places(found: RoutePicture) -> dict[str, Spot]:
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
    lines = {box.id: len(_lines(box)) for box in found.boxes}
    answers: Counter[str] = Counter()
    for way in found.ways:
        answers[way.start] += len(_answer(way))
    top = 8.0
    for row in rows:
        high = EDGE + LINE * max(lines.get(name, 0) for name in row)
        widths = [WIDE if name in layers else BESIDE for name in row]
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
