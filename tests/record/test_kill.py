"""What was acknowledged is on disk, whatever happens to the program next."""

from __future__ import annotations

import signal
import subprocess
import sys
from pathlib import Path

from diagnose.record.journal import Journal

KILLS = 25

WRITER = """
import sys
from pathlib import Path
from diagnose.record.journal import Conflict, Journal
journal, stream = Journal.open(Path(sys.argv[1])), sys.argv[2]
count, most = len(journal.read(stream)), int(sys.argv[3])
written = 0
while written < most:
    try:
        count = journal.append(stream, count, [f'"{sys.argv[4]} {written}"'], 0.0)
    except Conflict:
        count = len(journal.read(stream))
        continue
    print(f'"{sys.argv[4]} {written}"', flush=True)
    written += 1
"""

READER = """
import sys
from pathlib import Path
from diagnose.record.journal import Journal
print(Journal.open(Path(sys.argv[1])).read("outing/1"))
"""


def writer(path: Path, stream: str, most: int, name: str) -> subprocess.Popen[str]:
    """Start a program that appends answers and says so once each is acknowledged."""
    command = [sys.executable, "-c", WRITER, str(path), stream, str(most), name]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True)


def test_every_acknowledged_answer_survives_being_killed_right_after(tmp_path: Path) -> None:
    path = tmp_path / "journal.sqlite3"
    acknowledged: list[str] = []
    for kill in range(KILLS):
        with writer(path, "outing/1", 1000, f"run {kill}") as program:
            assert program.stdout is not None
            for _ in range(kill % 4 + 1):
                acknowledged.append(program.stdout.readline().strip())  # noqa: PERF401 - each is awaited in turn
            program.send_signal(signal.SIGKILL)
            acknowledged += [line.strip() for line in program.stdout if line.endswith("\n")]
    with Journal.open(path) as journal:
        stored = journal.read("outing/1")
    assert [body for body in stored if body in set(acknowledged)] == acknowledged
    assert len(stored) <= len(acknowledged) + KILLS  # at most the one that each was writing when it was killed


def test_two_programs_at_one_stream_lose_nothing(tmp_path: Path) -> None:
    path = tmp_path / "journal.sqlite3"
    programs = [writer(path, "outing/1", 40, name) for name in ("one", "two")]
    said = [program.communicate(timeout=60)[0].split("\n")[:-1] for program in programs]
    with Journal.open(path) as journal:
        stored = journal.read("outing/1")
    assert sorted(stored) == sorted(said[0] + said[1])
    assert len(stored) == 80
    assert [body for body in stored if "one" in body] == said[0]


def test_programs_that_make_the_journal_at_once_lose_nothing(tmp_path: Path) -> None:
    path = tmp_path / "data" / "journal.sqlite3"
    programs = [writer(path, f"outing/{number}", 20, "one") for number in range(4)]
    said = [program.communicate(timeout=60)[0].split("\n")[:-1] for program in programs]
    with Journal.open(path) as journal:
        stored = [journal.read(f"outing/{number}") for number in range(4)]
    assert stored == said
    assert all(len(bodies) == 20 for bodies in stored)


def test_opening_the_journal_twice_keeps_the_locks_of_the_first(tmp_path: Path) -> None:
    path = tmp_path / "journal.sqlite3"
    with Journal.open(path) as journal:
        journal.append("outing/1", 0, ["1"], 0.0)
        Journal.open(path).close()
        writer(path, "outing/2", 1, "other").communicate(timeout=60)  # the last to leave would take the log away
        journal.append("outing/1", 1, ["2"], 0.0)
        seen = subprocess.run([sys.executable, "-c", READER, str(path)], check=True, capture_output=True, text=True)
    assert seen.stdout == "['1', '2']\n"
