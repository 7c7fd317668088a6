"""The journal: it only grows, and what is appended is read back."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.record import journal as module
from diagnose.record.journal import Conflict, Journal, JournalError

HOSTILE = st.text(st.characters(codec=None), max_size=30) | st.sampled_from(["\x00", "a\x00b", "\ud800", "'; --", "%_"])


def test_what_is_appended_is_read_back_in_order(tmp_path: Path) -> None:
    with Journal.open(tmp_path / "a" / "b" / "journal.sqlite3") as journal:
        assert journal.append("outing/1", 0, ["1", "2"], 5.0) == 2
        assert journal.append("outing/1", 2, ["3"], 6.0) == 3
    with Journal.open(tmp_path / "a" / "b" / "journal.sqlite3") as journal:
        assert journal.saved
        assert journal.read("outing/1") == ["1", "2", "3"]
        assert journal.read("outing/1", since=1) == ["2", "3"]
        assert journal.read("outing/2") == []


def test_streams_are_listed_by_prefix_with_the_newest_last() -> None:
    with Journal.in_memory() as journal:
        journal.append("outing/1", 0, ["1", "2"], 5.0)
        journal.append("outing/2", 0, ["1"], 7.0)
        journal.append("engines", 0, ["1"], 6.0)
        journal.append("outing/1", 2, ["3"], 8.0)
        assert journal.streams("outing/") == [("outing/2", 1, 7.0, 7.0), ("outing/1", 3, 5.0, 8.0)]
        assert [stream.name for stream in journal.streams()] == ["engines", "outing/2", "outing/1"]
        assert journal.streams("outing%") == journal.streams("_") == []


def test_who_comes_second_writes_nothing(tmp_path: Path) -> None:
    path = tmp_path / "journal.sqlite3"
    with Journal.open(path) as first, Journal.open(path) as second:
        first.append("outing/1", 0, ["1"], 0.0)
        with pytest.raises(Conflict, match="another window"):
            second.append("outing/1", 0, ["2"], 0.0)
        assert second.read("outing/1") == ["1"]
        assert second.append("outing/1", 1, ["2"], 0.0) == 2


@pytest.mark.parametrize(
    "statement",
    [
        "DELETE FROM events",
        "UPDATE events SET body = '0'",
        "INSERT OR REPLACE INTO events VALUES ('outing/1', 0, 0, '0')",
        "INSERT INTO events VALUES ('outing/1', 2, 0, '0')",
    ],
)
def test_the_journal_only_grows(tmp_path: Path, statement: str) -> None:
    path = tmp_path / "journal.sqlite3"
    with Journal.open(path) as journal:
        journal.append("outing/1", 0, ["1"], 0.0)
    connection = sqlite3.connect(path)
    with pytest.raises(sqlite3.IntegrityError, match="only grows"):
        connection.execute(statement)
    connection.close()


@given(stream=HOSTILE, bodies=st.lists(HOSTILE, max_size=4))
def test_any_text_comes_back_as_it_was_or_is_refused_whole(stream: str, bodies: list[str]) -> None:
    with Journal.in_memory() as journal:
        journal.append("before", 0, ["1"], 0.0)
        try:
            "".join([stream, *bodies]).encode()
        except UnicodeEncodeError:
            with pytest.raises(JournalError, match="half a character"):
                journal.append(stream, 0, bodies, 0.0)
            assert [known.name for known in journal.streams()] == ["before"]
        else:
            length = 1 if stream == "before" else 0
            assert journal.append(stream, length, bodies, 0.0) == length + len(bodies)
            assert journal.read(stream, length) == bodies
        assert journal.append("after", 0, ["2"], 0.0) == 1


@given(st.lists(st.tuples(st.sampled_from("abc"), st.integers(-1, 6), st.lists(st.just("1"), max_size=2)), max_size=12))
def test_a_stream_takes_only_who_knows_its_length(tries: list[tuple[str, int, list[str]]]) -> None:
    lengths = dict.fromkeys("abc", 0)
    with Journal.in_memory() as journal:
        for stream, expected, bodies in tries:
            if expected == lengths[stream]:
                lengths[stream] = journal.append(stream, expected, bodies, 0.0)
            else:
                with pytest.raises(Conflict):
                    journal.append(stream, expected, bodies, 0.0)
            assert len(journal.read(stream)) == lengths[stream]


def test_in_memory_nothing_is_saved(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    with Journal.in_memory() as journal:
        assert not journal.saved
        assert journal.append("outing/1", 0, ["1"], 0.0) == 1
    assert list(tmp_path.iterdir()) == []


def test_a_journal_that_is_held_by_another_program_says_so_and_can_be_used_after(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "BUSY_SECONDS", 0.05)
    path = tmp_path / "journal.sqlite3"
    with Journal.open(path) as journal:
        other = sqlite3.connect(path, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(JournalError, match="another program holds"):
            journal.append("outing/1", 0, ["1"], 0.0)
        other.execute("ROLLBACK")
        other.close()
        assert journal.append("outing/1", 0, ["1"], 0.0) == 1


def test_a_full_journal_says_so_and_keeps_what_it_has(tmp_path: Path) -> None:
    with Journal.open(tmp_path / "journal.sqlite3") as journal:
        journal.append("outing/1", 0, ["1"], 0.0)
        journal._connection.execute("PRAGMA max_page_count = 4")
        with pytest.raises(JournalError, match="disk is full"):
            journal.append("outing/1", 1, ["2" * 100_000], 0.0)
        assert journal.read("outing/1") == ["1"]
        assert journal.append("outing/1", 1, ["2"], 0.0) == 2


LIMITED = """
import resource, sys
from pathlib import Path
from diagnose.record.journal import Journal, JournalError
with Journal.open(Path(sys.argv[1])) as journal:
    journal.append("outing/1", 0, ["1"], 0.0)
    resource.setrlimit(resource.RLIMIT_FSIZE, (60_000, resource.RLIM_INFINITY))
    try:
        journal.append("outing/1", 1, ["2" * 100_000], 0.0)
    except JournalError as error:
        print(error)
    resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
    journal.append("outing/1", 1, ["3"], 0.0)
"""


def test_a_write_that_fails_half_way_leaves_nothing_behind(tmp_path: Path) -> None:
    path = tmp_path / "journal.sqlite3"
    said = subprocess.run([sys.executable, "-c", LIMITED, str(path)], check=True, capture_output=True, text=True)
    assert "the disk" in said.stdout
    assert said.stdout.count("\n") == 1
    with Journal.open(path) as journal:
        assert journal.read("outing/1") == ["1", "3"]
