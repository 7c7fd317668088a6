"""The decision graph as a picture: all of it is there, nothing lies on anything, and another library can read it."""

from __future__ import annotations

from io import StringIO
from itertools import combinations, pairwise
from xml.etree import ElementTree as ET

import pytest
from little import current
from reason.test_back_first import at_the_needle
from shipped import load
from svgelements import SVG, Polygon, Polyline, Rect, Text

from diagnose.graph.model import Variant, exits
from diagnose.pages.route import in_words, route, taken
from diagnose.paper.picture import svg
from diagnose.reason import events as ev
from diagnose.reason.walk import Walk, begin

KNOWLEDGE = load()
MILLIMETRES = {"A4": (210, 297), "Letter": (216, 279)}
"""ISO 216 and ANSI Y14.1, from memory."""


def boxes(text: str) -> list[tuple[float, float, float, float]]:
    """Return the edges of each box of a picture, by another library: left, top, right, bottom."""
    found = [one for one in SVG.parse(StringIO(text)).elements() if "shape" in (one.values or {}).get("class", "")]
    assert all(isinstance(one, (Rect, Polygon)) for one in found)
    return [one.bbox() for one in found]


@pytest.mark.parametrize("symptom", KNOWLEDGE.symptoms)
def test_every_node_and_way_is_drawn_and_no_box_lies_on_another(symptom: str) -> None:
    found = route(KNOWLEDGE, symptom)
    nodes = KNOWLEDGE.symptoms[symptom].route
    assert {box.id for box in found.boxes} >= set(nodes)
    assert {(way.start, way.end) for way in found.ways} == {
        (name, target) for name, node in nodes.items() for target in exits(node).values()
    }
    drawn = svg(symptom, found)
    edges = boxes(drawn)
    assert len(edges) == len(found.boxes)
    for one, other in combinations(edges, 2):
        apart = one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
        assert apart, (one, other)


@pytest.mark.parametrize("symptom", KNOWLEDGE.symptoms)
def test_every_picture_fits_a_page_and_holds_all_that_it_draws(symptom: str) -> None:
    drawn = svg(symptom, route(KNOWLEDGE, symptom))
    root = ET.fromstring(drawn)
    wide, high = (float(root.attrib[side].removesuffix("mm")) for side in ("width", "height"))
    for paper in MILLIMETRES.values():
        assert min(wide, high) <= paper[0] - 20
        assert max(wide, high) <= paper[1] - 20
    read = SVG.parse(StringIO(drawn))
    for one in read.elements():
        if isinstance(one, (Rect, Polygon, Polyline)):
            x0, y0, x1, y1 = one.bbox()
            assert -0.01 <= x0 <= x1 <= read.width + 0.01
            assert -0.01 <= y0 <= y1 <= read.height + 0.01


@pytest.mark.parametrize("symptom", KNOWLEDGE.symptoms)
def test_no_way_leads_through_a_box(symptom: str) -> None:
    drawn = svg(symptom, route(KNOWLEDGE, symptom))
    ways = [one for one in SVG.parse(StringIO(drawn)).elements() if isinstance(one, Polyline)]
    assert ways
    for left, top, right, bottom in boxes(drawn):
        for way in ways:
            for start, end in pairwise(way.points):
                for share in range(1, 40):
                    x, y = (a + (b - a) * share / 40 for a, b in zip(start, end, strict=True))
                    assert not (left + 1 < x < right - 1 and top + 1 < y < bottom - 1), (symptom, x, y)


@pytest.mark.parametrize("symptom", KNOWLEDGE.symptoms)
def test_what_stands_in_a_box_can_be_read_on_paper(symptom: str) -> None:
    root = ET.fromstring(svg(symptom, route(KNOWLEDGE, symptom)))
    a_unit = float(root.attrib["width"].removesuffix("mm")) / float(root.attrib["viewBox"].split()[2])
    a_point = 25.4 / 72  # mm, as CSS has it (CSS Values and Units 4, from memory)
    assert 7.4 <= 11 * a_unit / a_point <= 16  # nor is a small one blown up


@pytest.mark.parametrize("symptom", KNOWLEDGE.symptoms)
def test_no_text_of_a_box_is_cut_off(symptom: str) -> None:
    found = route(KNOWLEDGE, symptom)
    words = {one.text for one in SVG.parse(StringIO(svg(symptom, found))).elements() if isinstance(one, Text)}
    assert {word for box in found.boxes for word in box.text.split()} <= {one for line in words for one in line.split()}


def test_a_title_that_is_wider_than_the_picture_stands_in_it_whole() -> None:
    title = "will not turn over · the long blue truggy · 2026-09-26 10:00"
    root = ET.fromstring(svg(title, route(KNOWLEDGE, "will-not-turn-over")))
    wide = float(root.attrib["viewBox"].split()[2])
    assert wide >= 16 * 0.55 * len(title)  # 16 px, and .55 em a letter on the average: from memory


def test_each_kind_of_node_has_a_word_of_its_own_in_the_picture() -> None:
    found = route(KNOWLEDGE, "bogs-off-the-line")
    words = {one.text for one in SVG.parse(StringIO(svg("x", found))).elements() if isinstance(one, Text)}
    assert {box.shape for box in found.boxes} <= words
    assert {word for way in found.ways for word in way.answer.split()} <= {
        one for text in words for one in text.split()
    }


def test_no_text_becomes_markup() -> None:
    found = route(KNOWLEDGE, "bogs-off-the-line")
    hostile = found._replace(boxes=tuple(box._replace(text="<b>&</b>") for box in found.boxes))
    assert "<b>" not in svg("<script>", hostile)
    assert "<script" not in svg("<script>", hostile)


def walked() -> Walk:
    walk = begin(KNOWLEDGE, ev.Started(0, "", "bogs-off-the-line", "", Variant()))
    for number in range(60):
        step = walk.step(float(number))
        assert step is not None
        if walk.standing.position.node not in ("outside", "outside too"):
            break
        walk = walk.plus(walk.choose(step, step.choices[0].id, float(number)))
    return walk


def test_the_branch_that_a_walk_took_is_drawn_through() -> None:
    path = [one.node for one in walked().standing.path]
    assert path[:3] == ["outside", "outside too", "marks"]
    found = route(KNOWLEDGE, "bogs-off-the-line", path)
    assert {box.id for box in found.boxes if box.taken} == set(path)
    assert {(way.start, way.end) for way in found.ways if way.taken} == set(pairwise(path))
    assert svg("x", found).count('class="taken"') == len(path) + len(path) - 1
    lines = [repr(part) for part in in_words(found)]
    assert sum("taken" in line for line in lines) == len(path)


def test_a_needle_step_is_taken_only_where_the_needle_was_turned() -> None:
    """Going back to the record comes at the needle step, and in its place."""
    back, hour = at_the_needle(recorded=True), at_the_needle()
    assert taken(back)[-1] == taken(hour)[-1] == "leaner"  # as long as it goes on: this is where it stands
    for walk, reached in ((back, "pinch"), (hour, "leaner")):
        ended = walk.plus(walk.choose(current(walk), "done", 20)).plus(ev.Retested(60, "cured"))
        assert ended.verdict() is not None
        assert taken(ended)[-1] == reached
