"""``diagnose club`` and ``diagnose schema``: a folder that holds from the start, and is kept in use."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml
from cli.running import Diagnose


@pytest.fixture
def club(diagnose: Diagnose, tmp_path: Path) -> Path:
    made = tmp_path / "club"
    assert diagnose("club", "new", made, "--name", "Dust: and more").code == 0
    return made


def test_a_new_folder_holds_its_page_and_the_schemas_that_its_files_name(club: Path) -> None:
    page = yaml.safe_load((club / "club.yaml").read_text("utf-8"))
    assert page["our-club"] == {"name": "Dust: and more"}
    for file in club.rglob("*.yaml"):
        modeline = re.search(r"# yaml-language-server: \$schema=(\S+)", file.read_text("utf-8"))
        assert modeline is not None
        assert (file.parent / modeline[1]).is_file()


def test_a_folder_that_is_there_is_not_written_over(diagnose: Diagnose, club: Path) -> None:
    found = diagnose("club", "new", club)
    assert (found.code, found.out) == (2, "")
    assert "exists already, and nothing is written over" in found.err


def test_a_folder_in_use_counts_from_then_on_until_it_is_put_away(diagnose: Diagnose, club: Path) -> None:
    (club / "words.yaml").write_text("format: 1\nsnow: {say: Cold and wet.}\n")
    assert "snow" not in diagnose("list", "words").out
    assert "is in use from now on" in diagnose("club", "use", club).out
    assert "snow" in diagnose("list", "words").out
    assert "snow" in diagnose("--knowledge", club, "list", "words").out
    diagnose("club", "use", "none")
    assert "snow" not in diagnose("list", "words").out


def test_a_folder_that_does_not_hold_is_not_taken(diagnose: Diagnose, club: Path) -> None:
    (club / "words.yaml").write_text("format: 1\nsnow: {says: Cold and wet.}\n")
    found = diagnose("club", "use", club)
    assert found.code == 2
    assert "words.yaml:2:8: " in found.err
    assert "snow" not in diagnose("list", "words").out


def test_a_folder_in_use_that_is_gone_is_told_in_one_line(diagnose: Diagnose, club: Path) -> None:
    diagnose("club", "use", club)
    club.rename(club.with_name("gone"))
    found = diagnose("list", "words")
    assert found.code == 2
    assert "your club's folder, is gone" in found.err
    assert "diagnose club use none" in found.err
    assert diagnose("club", "use", "none").code == 0


def test_schemas_are_written_where_one_says(diagnose: Diagnose, tmp_path: Path) -> None:
    assert diagnose("schema", tmp_path / "schema").code == 0
    assert (tmp_path / "schema" / "checks.json").is_file()
    (tmp_path / "file").write_text("")
    assert "can't be written" in diagnose("schema", tmp_path / "file").err


def test_the_elevation_of_the_track_is_put_in_where_a_phone_shows_the_sea_level_figure(
    diagnose: Diagnose, club: Path
) -> None:
    asked = ("day", "--temperature", "25C", "--humidity", "50", "--sea-level-pressure", "1013hPa", "--json")
    assert "needs the --elevation" in diagnose(*asked).err
    (club / "club.yaml").write_text("format: 1\nours: {name: ours, elevation: 1400}\n")
    diagnose("club", "use", club)
    assert diagnose(*asked).json == diagnose(*asked[:-1], "--elevation", "1400m", "--json").json
    assert "For a track at 1400 m (4590 ft): your club's folder says so." in diagnose(*asked[:-1]).out
    assert "your club's folder" not in diagnose(*asked[:-1], "--elevation", "1400m").out
    other = diagnose(*asked[:-1], "--elevation", "10m", "--json").json
    assert diagnose(*asked).json != other


def test_a_folder_in_use_that_breaks_later_is_told_with_the_way_back_and_costs_nothing(
    diagnose: Diagnose, club: Path
) -> None:
    diagnose("club", "use", club)
    (club / "words.yaml").write_text("format: 1\nsnow: {says: Cold and wet.}\n")
    found = diagnose("list", "words")
    assert (found.code, found.out) == (2, "")
    assert f"words.yaml:2:8: unknown field 'says' in 'snow'; did you mean 'say' (unknown-field)\n{club}" in found.err
    assert found.err.endswith("to work without it until then, say: diagnose club use none\n")
    assert diagnose("club", "use", club).code == 2
    diagnose("club", "use", "none")
    assert diagnose("list", "words").code == 0


def test_another_folder_that_is_broken_says_nothing_of_the_one_in_use(
    diagnose: Diagnose, club: Path, tmp_path: Path
) -> None:
    diagnose("club", "use", club)
    other = tmp_path / "other"
    other.mkdir()
    (other / "words.yaml").write_text("format: 1\nsnow: {says: Cold and wet.}\n")
    found = diagnose("--knowledge", other, "list", "words")
    assert found.code == 2
    assert "club use none" not in found.err


def test_a_slip_in_the_folder_in_use_is_told_once_by_whatever_name_it_is_proven(
    diagnose: Diagnose, club: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    diagnose("club", "use", club)
    (club / "words.yaml").write_text("format: 1\nsnow: 'Cold\n")
    monkeypatch.chdir(club.parent)
    found = diagnose("prove", "club")
    assert found.out.splitlines()[0].startswith("club/words.yaml:2:7: ")
    assert found.out.splitlines()[-1] == "1 problem"
    assert diagnose("--knowledge", "club", "list", "words").err.count("words.yaml:2:7") == 1
