"""Paper: what whoever sees badly, or hears a page read, needs of a sheet. By WCAG 2.2, criterion by criterion."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise
from xml.etree.ElementTree import Element

import html5lib
import pytest
from contrast import contrast
from paper.sheets import sheets

from diagnose.paper.sheet import templates

SHEETS = sheets()
INK, PAPER = "#000", "#fff"
ENHANCED = 7.0
"""WCAG 2.2, 1.4.6: contrast of text at level AAA."""


def rules(text: str) -> Iterator[dict[str, str]]:
    """Yield the declarations of each rule of a style sheet."""
    for body in re.findall(r"\{([^{}]*)\}", text):
        yield {name.strip(): value.strip() for name, _, value in (one.partition(":") for one in body.split(";"))}


def style(name: str) -> str:
    """Return the style sheet among the templates that has a name, or the one inside a template."""
    source, *_ = templates().loader.get_source(templates(), name)  # type: ignore[union-attr]
    return source if name.endswith(".css") else source.partition("<style>")[2].partition("</style>")[0]


def tree(text: str) -> Element:
    """Parse a document as strictly as the standard has it."""
    return html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(text)  # type: ignore[no-any-return]


def words(one: Element) -> str:
    return " ".join("".join(one.itertext()).split())


def test_the_formula_gives_what_is_published_of_it() -> None:
    """21:1 and 1:1 are the ends of the scale in WCAG 2.2; 4.48:1 for #777 on white from memory."""
    assert contrast(INK, PAPER) == pytest.approx(21)
    assert contrast(PAPER, PAPER) == pytest.approx(1)
    assert contrast("#777777", PAPER) == pytest.approx(4.48, abs=0.005)


@pytest.mark.parametrize("name", ["sheet.css", "picture.svg"])
def test_every_pair_of_colours_of_a_style_sheet_stands_out(name: str) -> None:
    """1.4.6, and black prints as black: whatever a rule leaves out is ink on paper."""
    text = style(name)
    assert "opacity" not in text
    assert not re.search(r"\b(?:rgba?|hsla?|currentcolor|gr[ae]y)\b", text)
    seen = 0
    for rule in rules(text):
        behind = rule.get("background", PAPER)
        front = rule.get("color", INK)
        assert {behind, front} <= {INK, PAPER}
        assert contrast(front, behind) >= ENHANCED
        seen += 1
    assert seen > 8
    assert set(re.findall(r"#[0-9a-fA-F]{3,8}\b", text)) <= {INK, PAPER}


@pytest.mark.parametrize("kind", SHEETS)
def test_a_sheet_can_be_heard(kind: str) -> None:
    root = tree(SHEETS[kind])
    assert root.get("lang") == "en-GB"  # 3.1.1 language of the page
    assert [words(one) for one in root.iter("title")] == [words(one) for one in root.iter("h1")]  # 2.4.2 titled
    assert len(list(root.iter("main"))) == 1
    levels = [int(one.tag[1]) for one in root.iter() if re.fullmatch(r"h[1-6]", one.tag)]
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))  # 1.3.1: no level is left out
    ids = [one.get("id") for one in root.iter() if one.get("id")]
    assert len(ids) == len(set(ids))
    (view,) = [one for one in root.iter("meta") if one.get("name") == "viewport"]
    assert not re.search("user-scalable|maximum-scale", str(view.get("content")))  # 1.4.4: it may be made larger
    assert [one.get("tabindex") for one in root.iter() if one.get("tabindex")] == []


@pytest.mark.parametrize("kind", SHEETS)
def test_each_box_has_its_words_each_face_is_said_and_each_column_named(kind: str) -> None:
    root = tree(SHEETS[kind])
    labels = list(root.iter("label"))
    boxes = [box for label in labels for box in label.iter("input")]
    assert boxes == list(root.iter("input"))  # 4.1.2 and 1.3.1: no box without a label around it
    assert all(words(label) for label in labels)
    for face in root.iter("svg"):
        assert face.get("role") == "img"
        assert face.get("aria-label")  # 1.1.1
    for table in root.iter("table"):
        heads = list(table.iter("th"))
        assert heads
        assert all(head.get("scope") == "col" and words(head) for head in heads)  # 1.3.1
        assert len({len(list(row)) for row in table.iter("tr")}) == 1
