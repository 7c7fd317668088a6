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
from diagnose.pages.route import Box, RoutePicture
from diagnose.paper.sheet import templates

WIDE, HIGH = 220, 46
"""A box, in units of the drawing."""
APART, DOWN = 30, 22
"""Between boxes of a layer, and between layers without an answer."""
ROW = 13
"""From one answer to the next, of those that lead away from one box."""
FAN = 34
"""Between the ways that leave one box."""
PAGE = (190.0, 250.0)
"""Millimetres that are printed on, of A4 as of Letter."""
TITLE = 30
"""Above the first box."""
LETTERS = 38
"""In a line of a box."""
SWEEPS = 12


class Placed(NamedTuple):
    """A box, the middle of it, and its text in lines."""

    box: Box
    x: float
    y: float
    lines: tuple[str, ...]


class Bend(NamedTuple):
    """A way as a line through points, with its answer and where that is written."""

    points: tuple[tuple[float, float], ...]
    answer: str
    at: tuple[float, float]
    taken: bool


def svg(title: str, found: RoutePicture) -> str:
    """Return the picture of a route as one SVG document."""
    places = _places(found)
    half = max(abs(x) for x, _ in places.values()) + WIDE / 2 + 8
    deep = max(y for _, y in places.values()) + HIGH / 2 + 8
    placed = [
        Placed(box, *places[box.id], tuple(textwrap.wrap(clean(box.text), LETTERS, max_lines=2, placeholder=" …")))
        for box in found.boxes
    ]
    scale = min(PAGE[0] / (2 * half), PAGE[1] / (deep + TITLE))
    return (
        templates()
        .get_template("picture.svg")
        .render(
            title=clean(title),
            boxes=placed,
            bends=list(_bends(found, places)),
            left=-half,
            wide=2 * half,
            deep=deep,
            above=TITLE,
            w=WIDE,
            h=HIGH,
            scale=scale,
        )
    )


def _bends(found: RoutePicture, places: dict[str, tuple[float, float]]) -> Iterator[Bend]:
    """Yield the ways: those of one box fan out in the order of where they go, their answers one below the other."""
    layers = _layers(found)
    for box in found.boxes:
        ways = []
        for way in found.ways:
            if way.start == box.id:
                x, y = places[way.end]
                crossed = (places[one] for one in _dummies(box.id, way.end, layers))
                upright = ((at, mid + side) for at, mid in crossed for side in (-HIGH / 2, HIGH / 2))  # past the boxes
                ways.append((way, [*upright, (x, y - HIGH / 2)]))
        ways.sort(key=lambda pair: pair[1][0][0])
        said = 0
        for number, (way, onward) in enumerate(ways):
            x0, y0 = places[box.id][0] + (number - (len(ways) - 1) / 2) * FAN, places[box.id][1] + HIGH / 2
            said += bool(way.answer)
            x1, y1 = onward[0]
            along = ROW * said / (y1 - y0)
            yield Bend(((x0, y0), *onward), way.answer, (x0 + (x1 - x0) * along, y0 + ROW * said), way.taken)


def _layers(found: RoutePicture) -> dict[str, int]:
    """Return how far down each node lies: below all that lead to it."""
    graph: nx.DiGraph[str] = nx.DiGraph()
    graph.add_nodes_from(box.id for box in found.boxes)
    graph.add_edges_from((way.start, way.end) for way in found.ways)
    return {name: layer for layer, names in enumerate(nx.topological_generations(graph)) for name in names}


def _dummies(start: str, end: str, layers: dict[str, int]) -> list[str]:
    """Return the names of the places through which a way bends, one in each layer that it crosses."""
    return [f"{start}\n{end}\n{layer}" for layer in range(layers[start] + 1, layers[end])]


def _places(found: RoutePicture) -> dict[str, tuple[float, float]]:
    """Return the middle of each node and of each bend, x from the middle of the page."""
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
    places: dict[str, tuple[float, float]] = {}
    answers = Counter(way.start for way in found.ways if way.answer)
    y = HIGH / 2 + 8.0
    for row in rows:
        widths = [WIDE if name in layers else WIDE / 4 for name in row]
        x = -(sum(widths) + APART * (len(row) - 1)) / 2
        for name, width in zip(row, widths, strict=True):
            places[name] = (x + width / 2, y)
            x += width + APART
        y += HIGH + DOWN + ROW * max(answers[name] for name in row)
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
