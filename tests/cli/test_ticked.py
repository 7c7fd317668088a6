"""``prepare NAME --engine``: each look is ticked by itself, and a walk of that day counts what was ticked."""

from __future__ import annotations

from pathlib import Path

import pytest
from cli.running import Diagnose, write
from cli.tuned import BLUE

GRID = (
    "format: 1\nthe-grid: {name: to the grid, minutes: 1, state: parked, on its own: true, do: [Look.],\n"
    "  looks: [fail-safe, tank-holds-pressure]}\n"
)


@pytest.fixture
def words(blue: Diagnose, tmp_path: Path) -> tuple[object, ...]:
    return "--knowledge", write(tmp_path / "club", {"preparations.yaml": GRID})


def test_each_look_is_ticked_by_itself_and_what_is_left_is_named(blue: Diagnose, words: tuple[object, ...]) -> None:
    out = blue(*words, "prepare", "the-grid", "--engine", BLUE, typed="n\n\n").out
    assert "1 of 2  fail-safe: " in out
    assert "2 of 2  " in out
    assert "1 of 2 ticked, 1 left: fail-safe. Do not start it" in out


def test_a_walk_of_the_day_asks_no_more_for_what_was_ticked_but_for_the_guards(
    blue: Diagnose, words: tuple[object, ...]
) -> None:
    def owed() -> set[str]:
        found = blue(*words, "owed", "revs-hang", "--engine", BLUE, "--json").json
        return {look["check"] for look in found["owed"]}

    before = owed()
    assert {"fail-safe", "tank-holds-pressure"} <= before
    blue(*words, "prepare", "the-grid", "--engine", BLUE, typed="\n\n")
    assert owed() == before - {"tank-holds-pressure"}


def test_who_leaves_keeps_what_was_ticked(blue: Diagnose, words: tuple[object, ...]) -> None:
    out = blue(*words, "prepare", "the-grid", "--engine", BLUE, typed="\nq\n").out
    assert "1 of 2 ticked, 1 left: " in out
    assert "Do not start it" not in out


def test_a_job_without_looks_and_an_engine_that_is_not_there_are_refused(
    blue: Diagnose, words: tuple[object, ...]
) -> None:
    nothing = blue("prepare", "bring-to-heat", "--engine", BLUE)
    assert (nothing.code, "nothing is ticked with 'bring-to-heat'" in nothing.err) == (2, True)
    assert blue(*words, "prepare", "the-grid", "--engine", "grey").code == 2


def test_a_look_that_no_check_is_called_is_refused(blue: Diagnose, tmp_path: Path) -> None:
    club = write(tmp_path / "other", {"preparations.yaml": GRID.replace("fail-safe", "fail-save")})
    found = blue("--knowledge", club, "prepare")
    assert (found.code, "fail-save" in found.err) == (2, True)
