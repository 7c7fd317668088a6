"""``diagnose paper``: every kind of sheet, where it may go, and what nobody's words can do to it."""

from __future__ import annotations

import io
import subprocess
import sys
from pathlib import Path

import html5lib
import pytest
from cli.running import Diagnose, Outcome
from cli.tuned import BLUE
from shipped import proven_already

from diagnose.cli import cli, guarded

KINDS = (
    ("card", "revs-hang"),
    ("round", "before-the-heat"),
    ("emergency",),
    ("lesson", "it-is-locked"),
    ("lesson", "it-is-locked", "--answers"),
    ("outing", "last"),
    ("car", BLUE),
)
HOSTILE = "<img src=x onerror=alert(1)>"
TURNED, DELETED = "\u202e", "\x7f\x1b[31m"
"""A mark that writes from right to left, and control characters."""


@pytest.fixture
def paper(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Diagnose:
    """The command on the shipped knowledge, with an engine that has a walk that was left."""
    monkeypatch.setenv("DIAGNOSE_HOME", str(tmp_path / "home"))
    proven_already(monkeypatch)

    def run(*arguments: str | Path, typed: str = "") -> Outcome:
        monkeypatch.setattr("sys.stdin", io.StringIO(typed))
        given = [str(argument) for argument in arguments]
        code = guarded(lambda: cli.main(given, prog_name="diagnose", standalone_mode=False))
        return Outcome(code, *capsys.readouterr())

    assert run("engine", "add", BLUE, "--set", "low needle", "14", "--set", "high needle", "36").code == 0
    run("walk", "revs-hang", "--plain", "--engine", BLUE, typed="\n1\nq\n")
    return run


@pytest.mark.parametrize("kind", KINDS, ids=" ".join)
def test_each_kind_is_written_whole_and_its_place_is_told(
    kind: tuple[str, ...], paper: Diagnose, tmp_path: Path
) -> None:
    out = tmp_path / "a sheet.html"
    found = paper("paper", *kind, "-o", out)
    assert (found.code, found.err) == (0, "")
    assert found.out.strip() == str(out)
    tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(out.read_text("utf-8"))
    (main,) = tree.iter("main")
    assert len("".join(main.itertext()).split()) > 15


@pytest.mark.parametrize("kind", KINDS, ids=" ".join)
def test_nothing_is_written_over(kind: tuple[str, ...], paper: Diagnose, tmp_path: Path) -> None:
    (tmp_path / "mine.html").write_text("mine")
    found = paper("paper", *kind, "-o", tmp_path / "mine.html")
    assert found.code == 2
    assert "mine.html exists already, and nothing is written over: give another name" in found.err
    assert (tmp_path / "mine.html").read_text() == "mine"


def test_a_place_where_no_file_can_be_is_refused(paper: Diagnose, tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    for place, said in (
        (tmp_path, "is a folder: give another name"),
        (tmp_path / "no" / "where.html", "can't be written: No such file or directory"),
        (tmp_path / "file" / "sheet.html", "can't be written: Not a directory"),
        (tmp_path / ("x" * 300), "can't be written: File name too long"),
    ):
        found = paper("paper", "emergency", "-o", place)
        assert found.code == 2
        assert said in found.err
        assert "Traceback" not in found.err
    assert [one.name for one in tmp_path.iterdir() if one.suffix == ".html"] == []


def test_a_disk_that_is_full_keeps_no_half(tmp_path: Path) -> None:
    out = tmp_path / "half.html"
    full = (
        "import resource\nfrom pathlib import Path\nfrom diagnose.paper.sheet import write\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))\n"
        f"write('x' * 100_000, Path({str(out)!r}))\n"
    )
    found = subprocess.run([sys.executable, "-c", full], capture_output=True, text=True, check=False)
    assert "can't be written: File too large" in found.stderr
    assert not out.exists()


def test_no_word_of_a_person_becomes_markup_or_turns_the_line_round(paper: Diagnose, tmp_path: Path) -> None:
    assert paper("engine", "add", HOSTILE).code == 0
    assert paper("car", HOSTILE, "--note", f"{HOSTILE} {TURNED}back{DELETED} {'w' * 1500}").code == 0
    assert paper("paper", "car", HOSTILE, "-o", tmp_path / "car.html").code == 0
    text = (tmp_path / "car.html").read_text("utf-8")
    tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(text)
    assert list(tree.iter("img")) == []
    (title,) = tree.iter("title")
    assert title.text == HOSTILE
    assert text.count("&lt;img src=x") >= 4
    assert not any(sign in text for sign in (TURNED, "\x7f", "\x1b"))
    assert "back" in text
    assert "w" * 1500 in text


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        (("card", "revs-hag"), "did you mean 'revs-hang'"),
        (("round", "before-the-hat"), "did you mean 'before-the-heat'"),
        (("lesson", "it-is-loked"), "did you mean 'it-is-locked'"),
        (("outing", "nowhere"), "there is no outing 'nowhere'"),
        (("car", "blue trugy"), f"did you mean '{BLUE}'"),
    ],
)
def test_a_name_that_is_not_there_writes_nothing(
    kind: tuple[str, ...], said: str, paper: Diagnose, tmp_path: Path
) -> None:
    found = paper("paper", *kind, "-o", tmp_path / "sheet.html")
    assert found.code == 2
    assert said in found.err
    assert list(tmp_path.glob("*.html")) == []
