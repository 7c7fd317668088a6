"""The bench and the plain walk, as people meet them: the first step of some symptoms says the same.

That every page of every symptom does is shown without a terminal, in `pages/test_same_words.py`."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from screens.hands import Make, page, press, seen

from diagnose.cli import cli, guarded
from diagnose.graph.load import read_all
from diagnose.graph.model import Knowledge
from diagnose.graph.say import say

TALL = (69, 600)
"""One column, and room for all of it."""


def squeezed(text: str) -> str:
    """Leave out spaces, and the signs that stand before lines."""
    return "".join(text.removeprefix("- ").split())


@pytest.mark.parametrize("symptom", list(read_all().knowledge.symptoms)[::6])
async def test_the_first_step_says_the_same_on_the_bench_and_in_plain_lines(
    make: Make,
    shipped: Knowledge,
    symptom: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    with monkeypatch.context() as plain:
        plain.setenv("DIAGNOSE_HOME", str(tmp_path / "plain"))
        plain.setattr("sys.stdin", io.StringIO("\n" * 9))
        words = ["walk", symptom, "--plain"]
        assert guarded(lambda: cli.main(words, prog_name="diagnose", standalone_mode=False)) == 0
    lines = capsys.readouterr().out.split("\n")
    count = next(number for number, line in enumerate(lines) if line.startswith("step 1 ·"))
    end = next(number for number, line in enumerate(lines) if number > count and line.startswith("Type "))
    drawn = [line for one in shipped.drawings.values() for line in say(one.words, shipped).split("\n")]
    step = [line for line in lines[count - 1 : end] if line and line.removeprefix("Where: ") not in drawn]
    assert len(step) > 4
    async with make(symptom, knowledge=shipped).run_test(size=TALL) as pilot:
        while page(pilot) != "Bench":
            await press(pilot, "n" if page(pilot) == "History" else "enter")
        shown = squeezed(seen(pilot))
    for line in step:
        said, _, means = line.partition(" (")
        assert all(squeezed(one.removesuffix(")")) in shown for one in (said, means)), line
