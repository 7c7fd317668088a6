"""What docs/practice.md says of the disagreements is what is found."""

from __future__ import annotations

import re
from pathlib import Path

from diagnose.graph.load import load
from diagnose.practice.disagree import disagreements
from diagnose.practice.looks import TRUST

DOCS = (Path(__file__).parents[2] / "docs" / "practice.md").read_text("utf-8")


def explained() -> set[tuple[str, str, str]]:
    """Return what the tables of the page explain: check, answer, fault."""
    found = set()
    for line in DOCS.splitlines():
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        if line.startswith("|") and len(cells) == 4 and "(" in cells[2]:
            found |= {(cells[0], cells[1], fault) for fault in re.findall(r"([a-z-]+) \(\d", cells[2])}
    return found


def test_every_disagreement_is_explained_and_none_that_is_no_more() -> None:
    found = {(one.check, one.answer, one.fault) for one in disagreements(load())}
    assert found - explained() == set(), "docs/practice.md does not explain these"
    assert explained() - found == set(), "docs/practice.md explains what is no disagreement any more"


def test_the_page_tells_the_trust_grades() -> None:
    for grade, (shown, mistaken) in TRUST.items():
        assert f"| {grade} | {shown:.2f} | {mistaken:.2f} |" in DOCS
