"""A person may delete what is theirs: it is gone from every byte of the file, and a tombstone says that it was."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Variant
from diagnose.pages.kept import backed_up, restored
from diagnose.reason import events as ev
from diagnose.record.backup import backup, held, restore
from diagnose.record.deleting import Deleted, delete, tidy, tombstones
from diagnose.record.index import Index
from diagnose.record.journal import Journal
from diagnose.record.notes import note_outing

AT = 1_800_000_000.0
SECRET, LATER = "the bell was borrowed from a friend", "and it was never given back"


def stored(journal: Journal, outing: str, text: str, many: int = 1) -> None:
    events = [ev.Started(AT, "digest", "revs-hang", "blue truggy", Variant())]
    bodies = [ev.to_json(event) for event in (*events, *[ev.Noted(AT, f"{text} {n}") for n in range(many)])]
    for number, body in enumerate(bodies):
        journal.append(f"outing/{outing}", number, [body], AT)


def bytes_of(path: Path) -> bytes:
    """Return what the file and its log hold."""
    return b"".join(one.read_bytes() for one in path.parent.glob(f"{path.name}*"))


@pytest.mark.parametrize("many", [1, 400])
def test_nothing_of_it_is_left_in_the_file(tmp_path: Path, many: int) -> None:
    path = tmp_path / "j.sqlite3"
    with Journal.open(path) as journal:
        for number in range(many):  # so that pages are split with it in between
            stored(journal, f"{number:03}", "stays")
        stored(journal, "050 gone", SECRET, many)
        note_outing(journal, "050 gone", LATER, AT)
        Index().rows(journal)
        assert SECRET.encode() in bytes_of(path)
        assert LATER.encode() in bytes_of(path)
        assert delete(journal, "050 gone", AT + 5) == Deleted(AT + 5, "050 gone", many + 1)
        assert SECRET.encode() not in bytes_of(path)
        assert LATER.encode() not in bytes_of(path)
        assert tombstones(journal) == [Deleted(AT + 5, "050 gone", many + 1)]
        assert len(Index().rows(journal)) == many
        journal.look_through()
    assert SECRET.encode() not in bytes_of(path)


def test_the_journal_still_only_grows(tmp_path: Path) -> None:
    with Journal.open(tmp_path / "j.sqlite3") as journal:
        stored(journal, "one", SECRET)
        stored(journal, "two", "stays")
        delete(journal, "one", AT)
        for statement in ("DELETE FROM events", "UPDATE events SET body = ''"):
            with pytest.raises(sqlite3.IntegrityError, match="only grows"):
                journal._connection.execute(statement)


def test_a_deletion_that_fails_deletes_nothing(tmp_path: Path) -> None:
    with Journal.open(tmp_path / "j.sqlite3") as journal:
        stored(journal, "one", SECRET)
        journal.append("deleted", 0, ["{}"], AT)
        journal._connection.execute(
            "CREATE TRIGGER no BEFORE INSERT ON events WHEN NEW.stream = 'deleted' BEGIN SELECT RAISE(ABORT, 'no'); END"
        )
        with pytest.raises(sqlite3.IntegrityError):
            delete(journal, "one", AT)
        assert journal.length("outing/one") == 2
        with pytest.raises(sqlite3.IntegrityError, match="only grows"):
            journal._connection.execute("DELETE FROM events")


def test_one_that_is_not_there_is_not_deleted(tmp_path: Path) -> None:
    with Journal.open(tmp_path / "j.sqlite3") as journal:
        with pytest.raises(DiagnoseError, match="there is no outing 'one'"):
            delete(journal, "one", AT)
        assert tombstones(journal) == []


def test_while_another_window_reads_the_log_is_emptied_later(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "j.sqlite3"
    monkeypatch.setattr("diagnose.record.deleting.BUSY_SECONDS", 0.1)
    with Journal.open(path) as journal:
        journal._connection.execute("PRAGMA busy_timeout = 1")
        stored(journal, "one", SECRET)
        reader = sqlite3.connect(path, isolation_level=None)
        reader.execute("BEGIN")
        reader.execute("SELECT * FROM events").fetchone()
        with pytest.raises(DiagnoseError, match="it is deleted, but"):
            delete(journal, "one", AT)
        assert not journal.length("outing/one")
        reader.close()
        tidy(journal)
        assert SECRET.encode() not in bytes_of(path)


def test_a_backup_says_what_was_deleted_and_a_restore_what_is_back(tmp_path: Path) -> None:
    before, after = tmp_path / "before.sqlite3", tmp_path / "after.sqlite3"
    with Journal.open(tmp_path / "j.sqlite3") as journal:
        stored(journal, "one", SECRET)
        backup(journal, before)
        delete(journal, "one", AT)
        found = backup(journal, after)
        assert (found.deleted, found.deleted_at) == (1, AT)
        assert SECRET.encode() not in after.read_bytes()
        (told,) = backed_up(found, after)
        assert "1 outing was deleted from it by hand, on 2027-01-15" in str(told)
        with pytest.raises(DiagnoseError, match="1 outing that you have deleted would be back"):
            restore(journal, before, tmp_path / "aside.sqlite3")
        back = restore(journal, before, tmp_path / "aside.sqlite3", over=True)
        assert (back.back, held(journal).deleted) == (1, 0)
        assert "1 outing that you had deleted is back." in str(restored(back, None))
