"""Where the simulator and the knowledge disagree, and what docs/practice.md says of it. Worked out once: it is slow."""

from __future__ import annotations

from pathlib import Path

import pytest
from shipped import load

from diagnose.measure.disagree import FACTOR, Disagreement, chances, disagreements
from diagnose.practice.check_answers import TRUST

KNOWLEDGE = load()
DOCS = (Path(__file__).parents[2] / "docs" / "practice.md").read_text("utf-8")


@pytest.fixture(scope="session")
def found() -> list[Disagreement]:
    return list(disagreements(KNOWLEDGE))


def explained() -> set[tuple[str, str, str]]:
    """Return what the tables of the page explain: check, answer and fault."""
    rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in DOCS.splitlines() if line[:1] == "|"]
    looks = [row for row in rows if len(row) == 4 and row[0] in KNOWLEDGE.checks]
    return {(check, answer, fault) for check, answer, faults, _ in looks for fault in faults.split(", ")}


@pytest.mark.slow
def test_every_disagreement_is_explained_and_none_that_is_no_more(found: list[Disagreement]) -> None:
    names = {(one.check, one.answer, one.fault) for one in found}
    assert names - explained() == set(), "docs/practice.md does not explain these"
    assert explained() - names == set(), "docs/practice.md explains what is no disagreement any more"


@pytest.mark.slow
def test_what_disagrees_does_so_by_more_than_the_factor(found: list[Disagreement]) -> None:
    for one in found:
        assert max(one.simulated, one.known) > FACTOR * min(one.simulated, one.known) - 0.002  # rounded
        assert one.known == pytest.approx(
            KNOWLEDGE.chances(KNOWLEDGE.checks[one.check], one.fault)[one.answer], abs=0.001
        )


def test_an_answer_under_a_fault_adds_up_to_one() -> None:
    spreads = chances("tank-lid-leaks", KNOWLEDGE, 12)
    assert spreads
    for spread in spreads.values():
        assert sum(spread.values()) == pytest.approx(1)
    assert spreads["lid-with-suds"]["bubbles"] > 0.6


def test_the_page_tells_the_trust_grades() -> None:
    for grade, (shown, mistaken) in TRUST.items():
        assert f"| {grade} | {shown:.2f} | {mistaken:.2f} |" in DOCS
