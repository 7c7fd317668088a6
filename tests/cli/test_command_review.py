"""``diagnose review``: what a change does to walks, as lines, as a page and as JSON."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from cli.running import Diagnose, write
from graph.sound_files import SOUND

WEIGHT = "format: 1\npressure-line-off:\n  keep the rest: true\n  explains: {revs-hang: 9}\n"
BLIND = "format: 1\ncase-holds-pressure:\n  keep the rest: true\n  minutes: 35\n"
LESS = """\
format: 1
front-seal-leaks:
  keep the rest: true
  name: front seal & bearing < 2 leak
  explains: {revs-hang: 1}
  mend: {minutes: 55}
"""


@pytest.fixture
def here(diagnose: Diagnose, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with two states of a club's, on the small sound knowledge; walked in this process."""
    shipped = write(tmp_path / "sound", SOUND)
    monkeypatch.setattr("diagnose.graph.load.home", lambda: shipped)
    monkeypatch.setattr("diagnose.measure.review.os.cpu_count", lambda: 1)
    monkeypatch.chdir(tmp_path)
    write(tmp_path / "old", {"faults.yaml": WEIGHT})
    write(tmp_path / "new", {"faults.yaml": WEIGHT + LESS.removeprefix("format: 1\n"), "checks.yaml": BLIND})
    return tmp_path


def test_one_folder_is_held_against_what_is_shipped(diagnose: Diagnose, here: Path) -> None:
    out = diagnose("review", here / "old").out
    assert out.startswith("Entries: 1 replaced. Walks that differ: ")
    assert "· Fault pressure-line-off (replaced): explains revs-hang: 3 → 9\n" in out
    assert re.search(r"All \d+ walks were made again", out)


def test_of_two_folders_the_second_is_held_against_the_first(diagnose: Diagnose, here: Path) -> None:
    out = diagnose("review", here / "old", here / "new").out
    assert "pressure-line-off" not in out.split("What was changed")[1]
    assert "mend minutes: 40 → 55" in out
    assert "Revs hang, front seal & bearing < 2 leak: " in out
    assert diagnose("review", here / "old", here / "old").out.startswith("Nothing was changed.")


def test_the_same_as_a_page_escaped_and_nothing_is_written_over(diagnose: Diagnose, here: Path) -> None:
    page = here / "review.html"
    assert diagnose("review", here / "old", here / "new", "--html", page).code == 0
    text = page.read_text("utf-8")
    assert "front seal &amp; bearing &lt; 2 leak" in text
    assert "bearing < 2" not in text
    again = diagnose("review", here / "old", "--html", page)
    assert (again.code, page.read_text("utf-8")) == (2, text)
    assert "exists already" in again.err


def test_the_same_as_json(diagnose: Diagnose, here: Path) -> None:
    found = diagnose("review", here / "old", here / "new", "--json").json
    assert {"cases", "entries", "faults", "fewer", "of", "starts", "walked"} == found.keys()
    assert {one["name"] for one in found["entries"]} == {"front-seal-leaks", "case-holds-pressure"}
    (seal,) = [one for one in found["faults"] if one["about"] == "front-seal-leaks"]
    assert seal["after"]["minutes"] - seal["before"]["minutes"] == pytest.approx(30)


def test_strict_leaves_with_one_where_a_walk_ends_otherwise_and_with_none_for_a_few_minutes_more(
    diagnose: Diagnose, here: Path
) -> None:
    assert diagnose("review", here / "new", "--strict").code == 0
    case = SOUND["cases/pressure-line.yaml"]
    ended = case.replace("tank-holds-pressure: bleeds", "tank-holds-pressure: can't tell")
    ended = re.sub(r"(?m)^expect.*$", "expect: {verdict: handed over}", ended.replace("[pressure-line-off]", "[]", 1))
    whole, other = write(here / "whole", SOUND), write(here / "other", {**SOUND, "cases/pressure-line.yaml": ended})
    assert diagnose("review", "--whole", whole, whole, "--strict").code == 0
    found = diagnose("review", "--whole", whole, other, "--strict")
    assert found.code == 1
    assert "A different end (1)\n· Case pressure-line: cured, pressure-line-off mended → handed over\n" in found.out
    assert diagnose("review", "--whole", whole, other).code == 0


def test_a_folder_that_does_not_hold_is_not_walked(diagnose: Diagnose, here: Path) -> None:
    write(here / "new", {"checks.yaml": "format: 1\nfail-safe: {keep the rest: true, guard: non}\n"})
    found = diagnose("review", here / "new")
    assert (found.code, found.out) == (2, "")
    assert "new/checks.yaml:2:34: 'guard' can't be 'non'" in found.err
    assert diagnose("review", here / "nowhere").code == 2
    assert "one folder or two" in diagnose("review", "old", "new", "old").err
