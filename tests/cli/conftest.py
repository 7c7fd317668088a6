"""The command, run in this process on a small knowledge that is written out as files."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from cli.running import Diagnose, Outcome, write
from cli.tuned import BLUE
from graph.knowledge_files import FILES

from diagnose.cli import cli, guarded

FACTS = """\
head-ceiling: {value: 220, unit: °F, provenance: "common practice, no source"}
head-come-in: {value: 250, unit: °F, provenance: "common practice, no source"}
head-stop: {value: 270, unit: °F, provenance: "common practice, no source"}
warm-enough-to-look: {value: 70, unit: °C, provenance: from memory}
"""


@pytest.fixture
def shipped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder that stands in for the shipped knowledge, taken as proven; the data directory is a fresh one."""
    folder = write(tmp_path / "shipped", {**FILES, "facts.yaml": FILES["facts.yaml"] + FACTS})
    monkeypatch.setattr("diagnose.graph.load.home", lambda: folder)
    monkeypatch.setattr("diagnose.graph.load._prove", lambda *_: [])
    monkeypatch.setenv("DIAGNOSE_HOME", str(tmp_path / "home"))
    return folder


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """The data directory of `shipped`."""
    return tmp_path / "home"


@pytest.fixture
def diagnose(shipped: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Diagnose:
    """Run the command with these arguments; `typed` is what comes in on stdin."""

    def run(*arguments: str | Path, typed: str = "") -> Outcome:
        monkeypatch.setattr("sys.stdin", io.StringIO(typed))
        given = [str(argument) for argument in arguments]
        code = guarded(lambda: cli.main(given, prog_name="diagnose", standalone_mode=False))
        return Outcome(code, *capsys.readouterr())

    return run


@pytest.fixture
def blue(diagnose: Diagnose) -> Diagnose:
    """The command, with an engine whose low and high needle are counted."""
    assert diagnose("engine", "add", BLUE, "--set", "low needle", "14", "--set", "high needle", "36").code == 0
    return diagnose
