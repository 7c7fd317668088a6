"""Backups: whole at one moment, read through, and brought back without losing anything."""

from __future__ import annotations

import sqlite3
import threading
from pathlib import Path

import pytest

from diagnose.errors import DiagnoseError
from diagnose.record.backup import Held, backup, held, restore
from diagnose.record.journal import Journal


@pytest.fixture
def journal(tmp_path: Path) -> Journal:
    opened = Journal.open(tmp_path / "home" / "journal.sqlite3")
    opened.append("outing/1", 0, ["1", "2"], 5.0)
    opened.append("engines", 0, ["blue"], 6.0)
    return opened


def test_a_backup_holds_what_the_journal_holds_and_is_a_journal_itself(journal: Journal, tmp_path: Path) -> None:
    assert backup(journal, tmp_path / "copy") == Held(2, 3, 6.0)
    with Journal.open(tmp_path / "copy") as copied:
        assert copied.read("outing/1") == ["1", "2"]
        assert copied.read("engines") == ["blue"]


def test_a_backup_leaves_no_other_file_behind(journal: Journal, tmp_path: Path) -> None:
    folder = tmp_path / "folder"
    folder.mkdir()
    backup(journal, folder / "copy")
    assert [one.name for one in folder.iterdir()] == ["copy"]


def test_a_backup_is_whole_while_another_program_writes(journal: Journal, tmp_path: Path) -> None:
    """The two streams grow together, one event each in one turn: a copy from within a turn would show one ahead."""
    stop = threading.Event()

    def write() -> None:
        with Journal.open(tmp_path / "home" / "journal.sqlite3") as other:
            number = 0
            while not stop.is_set():
                other.append("pair", number, [str(number), str(number)], 7.0)
                number += 2

    writer = threading.Thread(target=write)
    writer.start()
    try:
        for copy in range(5):
            backup(journal, tmp_path / f"copy{copy}")
    finally:
        stop.set()
        writer.join()
    for copy in range(5):
        with Journal.open(tmp_path / f"copy{copy}") as copied:
            assert len(copied.read("pair")) % 2 == 0
    assert len(journal.read("pair")) > 0


@pytest.mark.parametrize(
    ("to", "said"),
    [("there", "exists already"), ("folder", "is a folder"), ("nowhere/copy", "there is no folder")],
)
def test_a_place_that_cant_be_used_is_refused(journal: Journal, tmp_path: Path, to: str, said: str) -> None:
    (tmp_path / "there").write_text("mine")
    (tmp_path / "folder").mkdir()
    with pytest.raises(DiagnoseError, match=said):
        backup(journal, tmp_path / to)
    assert (tmp_path / "there").read_text() == "mine"


def test_what_was_lost_comes_back_and_what_was_there_is_kept(journal: Journal, tmp_path: Path) -> None:
    backup(journal, tmp_path / "copy")
    fresh = Journal.open(tmp_path / "new" / "journal.sqlite3")
    assert restore(fresh, tmp_path / "copy", tmp_path / "aside").held == Held(2, 3, 6.0)
    assert fresh.read("outing/1") == ["1", "2"]
    assert not (tmp_path / "aside").exists()  # there was nothing to keep
    fresh.append("outing/1", 2, ["3"], 8.0)
    restore(fresh, tmp_path / "copy", tmp_path / "aside", over=True)
    assert fresh.read("outing/1") == ["1", "2"]
    with Journal.open(tmp_path / "aside") as before:
        assert before.read("outing/1") == ["1", "2", "3"]


def test_a_restored_journal_still_only_grows(journal: Journal, tmp_path: Path) -> None:
    backup(journal, tmp_path / "copy")
    fresh = Journal.open(tmp_path / "new" / "journal.sqlite3")
    restore(fresh, tmp_path / "copy", tmp_path / "aside")
    fresh.append("outing/1", 2, ["3"], 8.0)
    with sqlite3.connect(tmp_path / "new" / "journal.sqlite3") as raw, pytest.raises(sqlite3.IntegrityError):
        raw.execute("DELETE FROM events")


@pytest.mark.parametrize("stream", ["outing/1", "outing/2", "engines"])
def test_a_journal_that_holds_more_is_left_as_it_is(journal: Journal, tmp_path: Path, stream: str) -> None:
    backup(journal, tmp_path / "copy")
    journal.append(stream, len(journal.read(stream)), ["later"], 9.0)
    with pytest.raises(DiagnoseError, match="older than your journal: 1 event would be gone"):
        restore(journal, tmp_path / "copy", tmp_path / "aside")
    assert journal.read(stream)[-1] == "later"


def test_another_history_of_the_same_outing_counts_as_more(journal: Journal, tmp_path: Path) -> None:
    with Journal.open(tmp_path / "other") as other:
        other.append("outing/1", 0, ["1", "other", "3"], 5.0)
        other.append("engines", 0, ["blue"], 6.0)
    with pytest.raises(DiagnoseError, match="2 events would be gone"):
        restore(journal, tmp_path / "other", tmp_path / "aside")


def test_a_backup_that_is_damaged_or_none_is_refused(journal: Journal, tmp_path: Path) -> None:
    backup(journal, tmp_path / "copy")
    data = bytearray((tmp_path / "copy").read_bytes())
    data[4096:] = b"\xff" * (len(data) - 4096)
    (tmp_path / "copy").write_bytes(data)
    for bad in ("copy", "none", "home"):
        with pytest.raises(DiagnoseError):
            restore(journal, tmp_path / bad, tmp_path / "aside")
    with pytest.raises(DiagnoseError, match="is the journal itself"):
        restore(journal, tmp_path / "home" / "journal.sqlite3", tmp_path / "aside")
    assert held(journal) == Held(2, 3, 6.0)


def test_a_restore_gives_up_on_a_journal_that_another_program_holds(
    journal: Journal, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("diagnose.record.journal.BUSY_SECONDS", 0.2)
    backup(journal, tmp_path / "copy")
    raw = sqlite3.connect(tmp_path / "home" / "journal.sqlite3", isolation_level=None)
    raw.execute("BEGIN IMMEDIATE")
    with pytest.raises(DiagnoseError, match="another program holds the journal"):
        restore(journal, tmp_path / "copy", tmp_path / "aside")
    raw.execute("ROLLBACK")
    raw.close()
    assert journal.read("engines") == ["blue"]
