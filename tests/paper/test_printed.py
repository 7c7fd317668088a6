"""Paper: what a real browser makes of each sheet on A4 and on Letter, and what holds where there is none."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from paper.browser import SIZES, printed
from paper.sheets import KNOWLEDGE, car, sheets

from diagnose.pages.card import HOUR
from diagnose.pages.hazards import urgent
from diagnose.pages.parts import HowTo

SHEETS = sheets()
SIDES = {
    "card": (2, 2),
    "before the race": (1, 1),
    "put it away": (2, 2),
    "emergency": (1, 1),
    "outing": (2, 2),
    "car": (2, 2),
    "lesson": (1, 1),
    "answers": (2, 2),
}
"""What each takes at its longest, on A4 and on Letter."""
TYPE = 10.0
"""Points that type on a card has at the least: people.md 16, from memory."""


def least_type(text: str) -> float:
    """Return the smallest type that a document's own rules give, in points; what is drawn counts apart."""
    return min(float(size) for size in re.findall(r"(?:font|font-size): (?:bold )?([\d.]+)pt", text))


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("kind", SIDES)
def test_a_sheet_takes_its_sides_and_no_type_is_below_ten_points(kind: str, size: str, tmp_path: Path) -> None:
    assert least_type(SHEETS[kind]) >= TYPE
    if (found := printed(SHEETS[kind], size, tmp_path)) is None:
        return
    assert len(found.pages) == dict(zip(SIZES, SIDES[kind], strict=True))[size]
    assert found.smallest >= TYPE - 0.01
    for number, page in enumerate(found.pages, 1):
        assert f"{number} of {len(found.pages)}" in page
    assert "Made on a day" in found.pages[-1]


@pytest.mark.parametrize("size", SIZES)
def test_the_emergency_page_is_on_one_side_with_every_step(size: str, tmp_path: Path) -> None:
    steps = [part.text for page in urgent(KNOWLEDGE).values() for part in page if isinstance(part, HowTo)]
    assert len(steps) > 30
    assert SHEETS["emergency"].count('<span class="mark">1.</span>') == sum(
        bool(caution.now) for caution in KNOWLEDGE.cautions.values()
    )
    if (found := printed(SHEETS["emergency"], size, tmp_path)) is None:
        return
    (side,) = found.pages
    assert found.smallest >= TYPE - 0.01
    words = re.findall(r"[A-Za-z]+", " ".join(steps))
    there = "".join(re.findall(r"[A-Za-z]+", side))
    assert [word for word in words if word not in there] == []


@pytest.mark.slow
def test_a_word_without_end_neither_leaves_the_paper_nor_makes_the_type_small(tmp_path: Path) -> None:
    endless = car("x" * 60, "w" * 3000)
    assert "overflow-wrap: anywhere" in endless
    if (found := printed(endless, "A4", tmp_path)) is None:
        return
    assert found.smallest >= TYPE - 0.01
    assert "".join(found.pages).count("w" * 60) >= 10


def test_what_has_a_width_fits_both_papers() -> None:
    """Four faces stand side by side between the margins."""
    text = SHEETS["car"]
    (margin,) = re.findall(r"@page \{ margin: \d+mm (\d+)mm", text)
    (face,) = re.findall(r"\.faces figure \{ width: (\d+)mm;", text)
    (between,) = re.findall(r"\.faces \{.*gap: (\d+)mm", text)
    assert text.count('class="face"') == 4
    for wide, _ in SIZES.values():
        assert 4 * int(face) + 3 * int(between) <= wide - 2 * int(margin)


def test_the_needle_rule_follows_the_looks_it_speaks_of() -> None:
    text = SHEETS["card"]
    assert text.rindex("min</span></label>") < text.index("The needle comes last") < text.index(HOUR)
