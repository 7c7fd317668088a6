"""A symptom's route as a graph in words: what each node does, where it leads, and the branch that was taken."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Literal, NamedTuple

from diagnose.graph.model import Adjust, Ask, Knowledge, Prepare, Refer, Sweep, exits
from diagnose.graph.wording import amount, capital
from diagnose.pages.parts import Heading, Line, Page, Part
from diagnose.reason.walk import Walk

ROUTE = "the route"

Shape = Literal["look", "strip-down", "prepare", "needle step", "end", "other symptom"]


class Box(NamedTuple):
    """One node: what is drawn as its shape, and what stands in it."""

    id: str
    shape: Shape
    text: str
    taken: bool = False


class Passage(NamedTuple):
    """From one node to another, and the answer that leads there; "" where it goes on by itself."""

    start: str
    end: str
    answer: str
    taken: bool = False


class RoutePicture(NamedTuple):
    """A symptom's route. Boxes stand in the order of the file."""

    boxes: tuple[Box, ...]
    ways: tuple[Passage, ...]


def route(known: Knowledge, symptom: str, path: Sequence[str] = ()) -> RoutePicture:
    """Return a symptom's route; `path` holds the nodes that a walk came through, in order."""
    nodes = known.symptoms[symptom].route
    passed = set(pairwise(path))
    boxes = [Box(name, *_said(known, node), name in path) for name, node in nodes.items()]
    ways: dict[tuple[str, str], Passage] = {}
    for name, node in nodes.items():
        for key, target in exits(node).items():
            before = ways.get((name, target))
            answers = ", ".join(filter(None, [before.answer if before else "", "" if key == "then" else key]))
            ways[name, target] = Passage(name, target, answers, (name, target) in passed)
            if target not in nodes and all(box.id != target for box in boxes):
                boxes.append(Box(target, "other symptom", known.symptoms[target].name))
    return RoutePicture(tuple(boxes), tuple(ways.values()))


def taken(walk: Walk, symptom: str = "") -> list[str]:
    """Return the nodes that a walk came through on the route of a symptom, else of its own, in order.

    A needle step at which a walk ended without a turn is none of them: going back to the record may come in its place.
    """
    of = symptom or walk.symptom
    path = [one.node for one in walk.standing.path if one.symptom == of]
    turned = {one.node for one in walk.state.adjustments}
    nodes = walk.knowledge.symptoms[of].route
    if path and walk.verdict() is not None and isinstance(nodes[path[-1]], Adjust) and path[-1] not in turned:
        path.pop()
    return path


def in_words(found: RoutePicture) -> Page:
    """Return the same as lines: a heading for each node, and where each answer leads; what was taken is ticked."""
    titles = {box.id: box.id if box.shape != "other symptom" else box.text for box in found.boxes}
    said: list[Part] = []
    for box in found.boxes:
        if box.shape == "other symptom":
            continue
        said += [Heading(f"{box.id} ({box.shape}{', taken' if box.taken else ''})"), Line(box.text)]
        said += [
            Line(f"{way.answer}: {titles[way.end]}" if way.answer else titles[way.end], "✓" if way.taken else "→")
            for way in found.ways
            if way.start == box.id
        ]
    return tuple(said)


def _said(known: Knowledge, node: Sweep | Ask | Adjust | Prepare | Refer) -> tuple[Shape, str]:
    match node:
        case Sweep():
            return "look" if node.look == "first" else "strip-down", ", ".join(node.sweep)
        case Ask():
            check = known.checks[node.ask]
            return "look" if check.look == "first" else "strip-down", check.name
        case Adjust():
            return "needle step", f"{node.adjust} {amount(node.hours)} {node.way}"
        case Prepare():
            return "prepare", known.preparations[node.prepare].name
        case Refer():
            return "end", capital("nothing is wrong" if node.nothing_wrong else "hand over")
