"""A file that is no journal of ours, or can't be used, gets one clear line and is left as it is."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from diagnose.record.journal import Journal, JournalError

KILLED = """
import os, sqlite3, sys
connection = sqlite3.connect(sys.argv[1])
connection.execute("PRAGMA journal_mode = WAL")
connection.execute("CREATE TABLE theirs (x)")
connection.commit()
os._exit(0)
"""

OURS_KILLED = """
import os, sys
from pathlib import Path
from diagnose.record.journal import Journal
Journal.open(Path(sys.argv[1])).append("outing/1", 0, ["1"], 0.0)
os._exit(0)
"""


def contents(folder: Path) -> dict[str, bytes]:
    """Return every file of a folder."""
    return {one.name: one.read_bytes() for one in folder.iterdir() if one.is_file()}


def text(path: Path) -> None:
    path.write_text("my shopping list")


def other_program(path: Path) -> None:
    connection = sqlite3.connect(path)
    connection.execute("CREATE TABLE theirs (x)")
    connection.commit()
    connection.close()


def other_program_with_its_log(path: Path) -> None:
    subprocess.run([sys.executable, "-c", KILLED, str(path)], check=True)
    path.with_name(f"{path.name}-shm").unlink()  # which SQLite would make again, just to look


def log_alone(path: Path) -> None:
    subprocess.run([sys.executable, "-c", OURS_KILLED, str(path)], check=True)
    path.unlink()


def emptied_with_its_log(path: Path) -> None:
    subprocess.run([sys.executable, "-c", OURS_KILLED, str(path)], check=True)
    path.write_bytes(b"")


def newer(path: Path) -> None:
    Journal.open(path).close()
    connection = sqlite3.connect(path)
    connection.execute("PRAGMA user_version = 99")
    connection.close()


def damaged(path: Path) -> None:
    with Journal.open(path) as journal:
        journal.append("outing/1", 0, ["1" * 20000], 0.0)
    data = path.read_bytes()
    path.write_bytes(data[:100] + b"\xff" * 3000 + data[3100:])


def cut_short(path: Path) -> None:
    Journal.open(path).close()
    path.write_bytes(path.read_bytes()[:50])


def without_its_table(path: Path) -> None:
    Journal.open(path).close()
    connection = sqlite3.connect(path)
    connection.execute("DROP TABLE events")
    connection.close()


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (text, "not a journal"),
        (other_program, "another program"),
        (other_program_with_its_log, "another program"),
        (log_alone, "log is gone"),
        (emptied_with_its_log, "log is gone"),
        (newer, "newer version"),
        (damaged, "damaged"),
        (cut_short, "damaged"),
        (without_its_table, "damaged"),
        (lambda path: path.mkdir(), "not a file"),
        (lambda path: os.mkfifo(path), "not a file"),
    ],
)
def test_a_file_that_cant_be_used_is_left_untouched(tmp_path: Path, make: Callable[[Path], None], said: str) -> None:
    path = tmp_path / "journal.sqlite3"
    make(path)
    before = contents(tmp_path)
    with pytest.raises(JournalError, match=said) as error:
        Journal.open(path)
    assert "\n" not in str(error.value)
    assert str(path) in str(error.value)
    assert contents(tmp_path) == before


def test_an_empty_file_becomes_a_journal(tmp_path: Path) -> None:
    (tmp_path / "journal.sqlite3").touch()
    with Journal.open(tmp_path / "journal.sqlite3") as journal:
        assert journal.append("outing/1", 0, ["1"], 0.0) == 1


def test_a_newer_version_that_stands_only_in_the_log_is_seen(tmp_path: Path) -> None:
    path = tmp_path / "journal.sqlite3"
    Journal.open(path).close()
    program = sqlite3.connect(path)
    program.execute("PRAGMA user_version = 99")
    with pytest.raises(JournalError, match="newer version"):
        Journal.open(path)
    program.close()


def test_damage_further_down_is_said_when_it_is_met(tmp_path: Path) -> None:
    path = tmp_path / "journal.sqlite3"
    with Journal.open(path) as journal:
        for number in range(200):
            journal.append("outing/1", number, ["1" * 500], 0.0)
    data = path.read_bytes()
    path.write_bytes(data[: len(data) // 2] + b"\xff" * (len(data) - len(data) // 2))
    with Journal.open(path) as journal:
        with pytest.raises(JournalError, match="damaged"):
            journal.read("outing/1")
        with pytest.raises(JournalError, match="damaged"):
            journal.append("outing/1", 200, ["1"], 0.0)


def test_text_that_is_no_text_is_damage(tmp_path: Path) -> None:
    path = tmp_path / "journal.sqlite3"
    with Journal.open(path) as journal:
        journal.append("outing/1", 0, ["good text"], 0.0)
    path.write_bytes(path.read_bytes().replace(b"good text", b"\xff\n\x1b[2Jtxt"))
    with Journal.open(path) as journal, pytest.raises(JournalError, match="damaged") as error:
        journal.read("outing/1")
    assert str(error.value).isprintable()


def test_a_folder_that_cant_be_made_is_said_clearly(tmp_path: Path) -> None:
    text(tmp_path / "in the way")
    with pytest.raises(JournalError, match="can't be made"):
        Journal.open(tmp_path / "in the way" / "needles-last" / "journal.sqlite3")
    assert contents(tmp_path) == {"in the way": b"my shopping list"}


AS_ANYONE = ["setpriv", "--bounding-set=-dac_override", "--inh-caps=-dac_override"]
"""Root may write anywhere; without this capability it is like other people."""

OPEN = """
import sys
from pathlib import Path
from diagnose.record.journal import Journal, JournalError
try:
    Journal.open(Path(sys.argv[1]))
except JournalError as error:
    print(error)
"""


@pytest.mark.parametrize("there", [True, False])
@pytest.mark.parametrize(("what", "mode"), [("journal.sqlite3", 0o400), ("journal.sqlite3", 0o000), (".", 0o500)])
def test_what_cant_be_written_is_said_clearly(tmp_path: Path, what: str, mode: int, there: bool) -> None:
    folder = tmp_path / "data"
    folder.mkdir()
    path = folder / "journal.sqlite3"
    if there or what != ".":
        Journal.open(path).close()
    before = contents(folder)
    (folder / what).chmod(mode)
    command = [*(AS_ANYONE if os.geteuid() == 0 else []), sys.executable, "-c", OPEN, str(path)]
    said = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    (folder / what).chmod(0o700)
    assert "can't be written" in said
    assert said.count("\n") == 1
    assert contents(folder) == before
