"""What a machine may do to the command: streams that are closed or full, names that are no text, long paths."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from cli.terminal import BARE

pytestmark = pytest.mark.slow

PLAIN = ("walk", "revs-hang", "--plain")
MOST = 100
"""Problems that are printed at once."""


def run(home: Path, *arguments: str, before: str = "", typed: bytes | None = b"") -> subprocess.CompletedProcess[bytes]:
    """Run the command; `before` is what a shell does to its streams."""
    command = [sys.executable, "-m", "diagnose", *arguments]
    env = {**BARE, "DIAGNOSE_HOME": str(home)}
    shell = ["sh", "-c", f'exec "$@" {before}', "sh", *command]
    return subprocess.run(shell, input=typed, capture_output=True, env=env, check=False, timeout=120)


def calm(home: Path, done: subprocess.CompletedProcess[bytes]) -> str:
    """Return what was said on stderr, once it is sure that nothing crashed."""
    said = done.stderr.decode("utf-8", "replace")
    assert "Traceback" not in said
    assert "program itself" not in said
    assert not list(home.glob("crash-*"))
    return said


@pytest.mark.parametrize("before", ["<&-", ">&-", "2>&-", "<&- >&- 2>&-"])
def test_a_closed_stream_is_no_trouble(tmp_path: Path, before: str) -> None:
    done = run(tmp_path, *PLAIN, before=before, typed=b"1\n")
    assert done.returncode == 0
    calm(tmp_path, done)


@pytest.mark.parametrize("arguments", [PLAIN, ("list", "symptoms"), ("list", "symptoms", "--json")])
def test_a_full_disk_behind_what_is_printed_is_said_in_one_line(tmp_path: Path, arguments: tuple[str, ...]) -> None:
    if not Path("/dev/full").exists():
        return  # another system than Linux
    done = run(tmp_path, *arguments, before=">/dev/full", typed=b"1\n")
    assert done.returncode == 2
    assert calm(tmp_path, done).count("\n") <= 1


def test_bytes_that_are_no_text_answer_nothing(tmp_path: Path) -> None:
    done = run(tmp_path, *PLAIN, typed=b"\xff\xfe1\n" + b"x" * 100_000 + b"\nq\n")
    assert done.returncode == 0
    calm(tmp_path, done)
    assert done.stdout.count(b"is none of these") == 2


def test_a_file_whose_name_is_no_text_is_named(tmp_path: Path) -> None:
    club = tmp_path / "club" / "checks"
    club.mkdir(parents=True)
    try:
        Path(os.fsdecode(os.fsencode(club) + b"/a\xff.yaml")).touch()
    except OSError:
        return  # a file system that takes no such name
    done = run(tmp_path / "home", "--knowledge", str(club.parent), "list", "symptoms")
    assert done.returncode == 2
    assert "the name of this file is not UTF-8; rename it" in calm(tmp_path / "home", done)


def test_a_path_that_is_too_long_is_told_as_that(tmp_path: Path) -> None:
    long = tmp_path.joinpath(*["a" * 100] * 6)
    done = run(long, "engine", "list")
    assert done.returncode == 2
    assert "too long" in calm(tmp_path, done)


def test_no_more_problems_are_printed_than_can_be_read(tmp_path: Path) -> None:
    club = tmp_path / "club" / "checks"
    club.mkdir(parents=True)
    (club / "a.yaml").write_text("format: 1\n" + "".join(f"b{number}x: 1\n" for number in range(3000)))
    done = run(tmp_path / "home", "--knowledge", str(club.parent), "list", "symptoms")
    assert done.returncode == 2
    told = calm(tmp_path, done).strip().split("\n")
    assert told[0] == "diagnose: 3000 problems"
    assert told[-1] == f"and {3000 - MOST} more"
    assert len(told) == MOST + 2
