"""The plain walk swaps the line of a step and its recipe by one key, and keeps the choice."""

from __future__ import annotations

from cli.running import Diagnose


def test_r_swaps_them_in_plain_lines_too(diagnose: Diagnose) -> None:
    first = diagnose("walk", "revs-hang", "--plain", typed="\nv\n").out
    before, after = first.split("Each step in a line now")
    assert "- Barrel at rest: " not in before
    assert "- Barrel at rest: " in after
    again = diagnose("walk", "revs-hang", "--plain", typed="\n").out
    assert "- Barrel at rest: " in again
