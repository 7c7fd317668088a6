"""The journal: it only grows, and a file that is no journal of ours is left as it is."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from diagnose.graph.model import Variant
from diagnose.record.engines import Engine, add, engines
from diagnose.record.journal import Conflict, Journal, JournalError, home


def test_what_is_appended_is_read_back_in_order(tmp_path: Path) -> None:
    with Journal.open(tmp_path / "a" / "journal.sqlite3") as journal:
        assert journal.append("outing/1", 0, ["1", "2"], 5.0) == 2
        assert journal.append("outing/1", 2, ["3"], 6.0) == 3
        assert journal.read("outing/1", since=1) == ["2", "3"]
        assert [(s.name, s.length, s.first_at, s.last_at) for s in journal.streams("outing/")] == [
            ("outing/1", 3, 5.0, 6.0)
        ]
        assert journal.streams("engines") == []


def test_who_comes_second_writes_nothing(tmp_path: Path) -> None:
    path = tmp_path / "journal.sqlite3"
    with Journal.open(path) as first, Journal.open(path) as second:
        first.append("outing/1", 0, ["1"], 0.0)
        with pytest.raises(Conflict, match="another window"):
            second.append("outing/1", 0, ["2"], 0.0)
        assert second.read("outing/1") == ["1"]


@pytest.mark.parametrize("statement", ["DELETE FROM events", "UPDATE events SET body = '0'"])
def test_the_journal_only_grows(tmp_path: Path, statement: str) -> None:
    path = tmp_path / "journal.sqlite3"
    with Journal.open(path) as journal:
        journal.append("outing/1", 0, ["1"], 0.0)
    connection = sqlite3.connect(path)
    with pytest.raises(sqlite3.IntegrityError, match="only grows"):
        connection.execute(statement)
    connection.close()


def other_program(path: Path) -> None:
    connection = sqlite3.connect(path)
    connection.execute("CREATE TABLE theirs (x)")
    connection.commit()
    connection.close()


def newer(path: Path) -> None:
    Journal.open(path).close()
    connection = sqlite3.connect(path)
    connection.execute("PRAGMA user_version = 99")
    connection.close()


def damaged(path: Path) -> None:
    with Journal.open(path) as journal:
        journal.append("outing/1", 0, ["1" * 20000], 0.0)
    data = path.read_bytes()
    path.write_bytes(data[:40] + b"\xff" * 3000 + data[3040:])


def text(path: Path) -> None:
    path.write_text("my shopping list")


@pytest.mark.parametrize(
    ("make", "said"),
    [(text, "not a journal"), (other_program, "another program"), (newer, "newer version"), (damaged, "damaged")],
)
def test_a_file_that_cant_be_used_gets_one_clear_line_and_is_left_untouched(
    tmp_path: Path, make: object, said: str
) -> None:
    path = tmp_path / "journal.sqlite3"
    make(path)  # type: ignore[operator]
    before = {one.name: one.read_bytes() for one in tmp_path.iterdir()}
    with pytest.raises(JournalError, match=said) as error:
        Journal.open(path)
    assert "\n" not in str(error.value)
    assert {one.name: one.read_bytes() for one in tmp_path.iterdir()} == before


def test_a_folder_in_its_place_is_said_clearly(tmp_path: Path) -> None:
    with pytest.raises(JournalError, match="can't be read"):
        Journal.open(tmp_path)


def test_in_memory_nothing_is_saved() -> None:
    with Journal.in_memory() as journal:
        assert not journal.saved
        assert journal.append("outing/1", 0, ["1"], 0.0) == 1


def test_the_data_directory_can_be_chosen(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("DIAGNOSE_HOME", str(tmp_path))
    assert home() == tmp_path


def test_an_engine_is_added_once_and_found_again() -> None:
    with Journal.in_memory() as journal:
        add(journal, Engine("blue  truggy", Variant(needles=2)), 1.0)
        assert engines(journal)["blue truggy"].variant.needles == 2
        with pytest.raises(Exception, match="already"):
            add(journal, Engine("Blue Truggy"), 2.0)


@pytest.mark.parametrize("name", ["", "   ", "x" * 41, "a\x00b", "a\u202eb", "a\ud800b"])
def test_a_name_that_cant_be_shown_is_refused(name: str) -> None:
    with Journal.in_memory() as journal, pytest.raises(Exception, match="name"):
        add(journal, Engine(name), 1.0)
