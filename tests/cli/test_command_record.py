"""``diagnose record``: a season's journal copied, lost, and brought back."""

from __future__ import annotations

from pathlib import Path

import pytest
from cli.running import Diagnose


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "home"
    monkeypatch.setenv("DIAGNOSE_HOME", str(folder))
    return folder


def test_a_lost_journal_comes_back_from_its_backup(diagnose: Diagnose, home: Path, tmp_path: Path) -> None:
    diagnose("engine", "add", "blue truggy", "--needles", "3")
    copy = tmp_path / "copy.sqlite3"
    assert "read through: 1 event, the last of 20" in diagnose("record", "backup", copy).out
    for file in home.glob("journal.sqlite3*"):
        file.unlink()
    assert "no engine" in diagnose("engine", "show", "blue truggy").err
    assert "what the backup held: 1 event" in diagnose("record", "restore", copy).out
    assert diagnose("engine", "show", "blue truggy").code == 0


def test_a_newer_journal_is_kept_unless_one_says_so_and_then_beside_it(
    diagnose: Diagnose, home: Path, tmp_path: Path
) -> None:
    copy = tmp_path / "copy.sqlite3"
    diagnose("record", "backup", copy)
    diagnose("engine", "add", "blue truggy", "--needles", "3")
    refused = diagnose("record", "restore", copy)
    assert refused.code == 2
    assert "1 event would be gone" in refused.err
    done = diagnose("record", "restore", copy, "--over-newer", "--json").json
    assert Path(done["before"]).parent == home
    assert diagnose("record", "check", done["before"], "--json").json["events"] == 1
    assert diagnose("record", "check", "--json").json["events"] == 0


def test_check_names_an_outing_that_cant_be_shown(diagnose: Diagnose, home: Path) -> None:
    from diagnose.record.journal import Journal

    assert "The journal is whole: nothing yet." in diagnose("record", "check").out
    with Journal.open(home / "journal.sqlite3") as journal:
        journal.append("outing/1", 0, ["no event"], 5.0)
    assert "can't be shown: its record is damaged" in diagnose("record", "check").out
    assert diagnose("record", "check", "--json").json["unread"] == ["1"]


def test_a_file_that_is_no_backup_is_refused_in_one_line(diagnose: Diagnose, tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("not a journal, though long enough to be looked at " * 9)
    for command in ("restore", "check"):
        for name, said in (("notes.txt", "is not a journal"), ("none", "there is no file")):
            found = diagnose("record", command, tmp_path / name)
            assert found.code == 2
            assert said in found.err
            assert len(found.err.splitlines()) == 1
