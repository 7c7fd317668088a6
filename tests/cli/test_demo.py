"""The demo's cases come out, on the shipped knowledge, as `demo/run` says they do."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagnose.graph.load import read_all
from diagnose.graph.read import read_case
from diagnose.reason.cases import CaseRun, check_expectation, inline_engine, run_case

DEMO = Path(__file__).parents[2] / "demo"


def run(name: str) -> tuple[CaseRun, list[str]]:
    """Run a case of the demo; return it with what did not come out as expected."""
    known = read_all().knowledge
    file = DEMO / f"{name}.yaml"
    case = read_case(file.name, file.read_text("utf-8"), known)
    assert isinstance(case.engine, dict)
    engine = inline_engine(case.engine)
    found = run_case(known, case, engine.variant, engine)
    return found, check_expectation(case, found)


@pytest.mark.parametrize("name", ["dead-plug", "one-hour"])
def test_the_demo_ends_as_it_says(name: str) -> None:
    _, wrong = run(name)
    assert wrong == []


def test_the_demo_refuses_a_needle_that_comes_too_early() -> None:
    found, _ = run("needle-at-once")
    assert found.owed
    assert {lock.rule for lock in found.locked} >= {1, 4, 5}
    assert found.adjustments == ()


def test_the_demo_takes_another_branch_for_another_answer() -> None:
    nodes = {name: [step.node for step in run(name)[0].steps] for name in ("dead-plug", "one-hour")}
    assert "leaner" in nodes["one-hour"]
    assert "leaner" not in nodes["dead-plug"]
