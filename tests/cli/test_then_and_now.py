"""The plain walk on the shipped knowledge: a reading beside the well card, the drift, and going back corrected."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from shipped import load, proven_already

from diagnose.cli import cli, guarded
from diagnose.record.engines import Engine
from diagnose.record.journal import Journal
from diagnose.tune.air import Air
from diagnose.tune.fuel import Blend
from diagnose.tune.needles import Good, Turned
from diagnose.tune.well import Card
from diagnose.workshop.session import Session

Walk = Callable[[str], str]
ANOTHER = "\n\n\na\n"
"""Skips the history, and lists what else can be answered."""


@pytest.fixture
def walk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Walk:
    """Walk an engine that has a card, and a drift of two hours; what is typed goes in, what is told comes out."""
    monkeypatch.setenv("DIAGNOSE_HOME", str(tmp_path))
    proven_already(monkeypatch)
    with Journal.open(tmp_path / "journal.sqlite3") as journal:
        session = Session(load(), journal)
        session.add_engine(Engine("blue truggy", settings={"high needle": 36.0}))
        session.note_day(Air(20, 100_400, 0.5), Blend(0.16, 0.10))
        session.write_card("blue truggy", Card(session.clock(), idle_gap=1.5))
        session.write("blue truggy", Good(session.clock(), session.conditions("blue truggy")))
        for _ in range(2):
            session.write("blue truggy", Turned(session.clock(), "high needle", "leaner", 1.0))

    def run(typed: str) -> str:
        monkeypatch.setattr("sys.stdin", io.StringIO(typed))
        words = ["walk", "idles-too-high", "--plain", "--engine", "blue truggy"]
        assert guarded(lambda: cli.main(words, prog_name="diagnose", standalone_mode=False)) == 0
        return capsys.readouterr().out

    return run


def test_a_reading_is_told_beside_the_well_card(walk: Walk) -> None:
    found = re.search(r"^(\d+)  idle gap$", walk(ANOTHER), re.MULTILINE)
    assert found is not None
    out = walk(f"{ANOTHER}{found[1]}\n= 1.7\n")
    assert "Type the number that you read, in mm (1.5 mm when it ran well), or a letter" in out
    assert "> 1.5 mm when it ran well, 1.7 now.\n" in out


def test_why_tells_of_the_drift(walk: Walk) -> None:
    out = walk("\n\n\nw\n")
    assert (
        "The belief counts the drift as well: the high needle stands 2 hours leaner than at the last good tune" in out
    )
