"""What docs/practice.md says of the disagreements is what is found."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from diagnose.graph.load import load
from diagnose.measure.disagree import disagreements
from diagnose.practice.looks import TRUST

DOCS = (Path(__file__).parents[2] / "docs" / "practice.md").read_text("utf-8")


def explained() -> dict[tuple[str, str, str], tuple[float, float]]:
    """Return what the tables of the page explain: check, answer and fault, with the two numbers."""
    found = {}
    for line in DOCS.splitlines():
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        if line.startswith("|") and len(cells) == 4:
            for fault, simulated, known in re.findall(r"([a-z-]+) \((\d\.\d\d) / (\d\.\d\d)\)", cells[2]):
                found[cells[0], cells[1], fault] = (float(simulated), float(known))
    return found


def test_every_disagreement_is_explained_with_its_numbers_and_none_that_is_no_more() -> None:
    found = {(one.check, one.answer, one.fault): (one.simulated, one.known) for one in disagreements(load())}
    told = explained()
    assert found.keys() - told.keys() == set(), "docs/practice.md does not explain these"
    assert told.keys() - found.keys() == set(), "docs/practice.md explains what is no disagreement any more"
    for name, numbers in found.items():
        assert told[name] == pytest.approx(numbers, abs=0.011), name


def test_the_page_tells_the_trust_grades() -> None:
    for grade, (shown, mistaken) in TRUST.items():
        assert f"| {grade} | {shown:.2f} | {mistaken:.2f} |" in DOCS
