"""Ways to break a club's folder: each comes to the message that a mentor can mend it by, and to nothing worse."""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from cli.broken_clubs import CLUB, HOLDS, SLIPS, files
from cli.running import Diagnose, Outcome, write
from graph.sound_files import SOUND

from diagnose.graph.prove import prove

TOLD = Path(__file__).with_name("broken_clubs.txt")
"""The messages that a mentor would want, each below the name of its slip."""


@pytest.fixture
def proves(diagnose: Diagnose, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Diagnose:
    """Run `diagnose prove club` in a folder of its own, on the small sound knowledge."""
    shipped = write(tmp_path / "sound", SOUND)
    monkeypatch.setattr("diagnose.graph.load.home", lambda: shipped)
    (tmp_path / "pits").mkdir()
    monkeypatch.chdir(tmp_path / "pits")

    def run(written: dict[str, str | bytes]) -> Outcome:
        for name, text in written.items():
            (Path("club") / name).parent.mkdir(parents=True, exist_ok=True)
            (Path("club") / name).write_bytes(text if isinstance(text, bytes) else text.encode())
        return diagnose("prove", "club")

    return run  # type: ignore[return-value]


def test_the_folder_holds_before_it_is_broken(proves: Diagnose) -> None:
    found = proves(HOLDS)
    assert found.code == 0, found.out


WANTED = dict(re.findall(r"^== (.+)\n((?:(?!== ).+\n)+)", TOLD.read_text("utf-8"), re.MULTILINE))


def test_there_are_enough_and_each_has_its_message() -> None:
    assert len(SLIPS) >= 24 + 30
    assert list(WANTED) == list(SLIPS)


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_comes_to_the_message_that_a_mentor_wants(proves: Diagnose, slip: str) -> None:
    found = proves(files(SLIPS[slip]))
    assert (found.code, found.err) == (1, "")
    lines = found.out.splitlines(keepends=True)
    # The little knowledge has no rows for the practice bench, which is told each time: see test_command_prove.
    assert "".join(line for line in lines if not line.startswith("practice: ")) == WANTED[slip]


@pytest.mark.parametrize("slip", SLIPS)
def test_whoever_walks_on_a_broken_folder_is_told_the_same_and_nothing_is_lost(
    proves: Diagnose, diagnose: Diagnose, monkeypatch: pytest.MonkeyPatch, slip: str
) -> None:
    told = proves(files(SLIPS[slip])).out
    monkeypatch.setattr("diagnose.graph.load._prove", prove)
    before = {path: path.read_bytes() for path in Path("club").rglob("*") if path.is_file()}
    found = diagnose("--knowledge", "club", "list", "symptoms")
    if SLIPS[slip].file.startswith("cases/") or "cases/" in told:
        return  # no walk reads the cases
    assert (found.code, found.out) == (2, "")
    assert found.err.removeprefix("diagnose: ").splitlines()[-1] in told
    assert {path: path.read_bytes() for path in Path("club").rglob("*") if path.is_file()} == before


NO_FILES: dict[str, tuple[Callable[[Path], object], str]] = {
    "a link to itself": (
        lambda club: (club / "rounds.yaml").symlink_to("rounds.yaml"),
        "club/rounds.yaml:1:1: this is a link to no file; put what it should lead to in its place (unreadable)",
    ),
    "a link to a folder": (
        lambda club: (club / "lessons").symlink_to("."),
        "club/lessons:1:1: this is a link to a folder, and is not followed; put what it should lead to in its place "
        "(unreadable)",
    ),
    "a folder called like a file": (
        lambda club: (club / "rounds.yaml").mkdir(),
        "club/rounds.yaml:1:1: this is a folder, and is called like a file; take the ending out of its name "
        "(unreadable)",
    ),
    "a pipe": (
        lambda club: os.mkfifo(club / "rounds.yaml"),
        "club/rounds.yaml:1:1: this is not a file that can be read; take it out (unreadable)",
    ),
}


@pytest.mark.parametrize("made", NO_FILES)
def test_what_looks_like_a_file_and_is_none_is_told_and_not_passed_over(proves: Diagnose, made: str) -> None:
    proves(HOLDS)
    make, wanted = NO_FILES[made]
    make(Path("club"))
    found = proves({})
    assert (found.code, found.out.splitlines()[0]) == (1, wanted)


def test_a_folder_beside_the_clubs_own_is_not_read_whatever_its_page_says(proves: Diagnose) -> None:
    folders = CLUB.replace("  name: ours", "  name: ours\n  folders: {../elsewhere: true}")
    found = proves({**HOLDS, "club.yaml": folders, "../elsewhere/faults.yaml": "- no knowledge\n"})
    assert found.code == 1
    assert "elsewhere/faults.yaml" not in found.out


def test_parts_that_are_off_are_not_read_and_break_nothing(proves: Diagnose) -> None:
    folders = CLUB.replace("  name: ours", "  name: ours\n  folders: {winter: false}")
    assert proves({**HOLDS, "club.yaml": folders, "winter/faults.yaml": "- no knowledge\n"}).code == 0


def test_a_file_in_place_of_its_folder_is_told(proves: Diagnose, diagnose: Diagnose) -> None:
    proves(HOLDS)
    told = "club/faults.yaml:1:1: this is a file; name the folder that it lies in (no-knowledge)\n"
    assert diagnose("prove", "club/faults.yaml").out.startswith(told)
    assert diagnose("--knowledge", "club/faults.yaml", "list", "symptoms")[::2] == (2, f"diagnose: {told}")
