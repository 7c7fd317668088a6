"""Ways to break a club's folder: each comes to the message that a mentor can mend it by, and to nothing worse."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from cli.broken_clubs import HOLDS, SLIPS, files
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


def test_there_are_twice_a_dozen_and_each_has_its_message() -> None:
    assert len(SLIPS) >= 24
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
