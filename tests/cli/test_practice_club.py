"""A club's own lesson, on a fault that acts like a shipped one, is practised from the club's folder."""

from __future__ import annotations

from pathlib import Path

import pytest
from cli.running import write
from practice.test_own_fault import ALIKE

from diagnose.cli import cli, guarded

pytestmark = pytest.mark.slow


def test_it_is_proven_listed_and_practised_with_knowledge_dir(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("DIAGNOSE_HOME", str(tmp_path / "home"))
    club = write(tmp_path / "club", ALIKE)

    def run(*arguments: str, typed: str = "") -> str:
        import io

        monkeypatch.setattr("sys.stdin", io.StringIO(typed))
        arguments = ("--knowledge", str(club), *arguments)
        code = guarded(lambda: cli.main(list(arguments), prog_name="diagnose", standalone_mode=False))
        out, err = capsys.readouterr()
        assert code == 0, out + err
        return out

    assert "grey-sunday" in run("practice", "lessons")
    begun = run("practice", "start", "--lesson", "grey-sunday", "--plain", typed="9\n1\n1\n")
    assert "It will not rev out. It ran well all summer." in begun
    assert "what it was" in begun
    assert "air filter sock clogged" in begun.partition("what it was")[2]
    assert "air filter sock clogged" not in begun.partition("what it was")[0]
