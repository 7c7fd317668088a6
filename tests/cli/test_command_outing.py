"""``diagnose outing``: walks are listed, found again, gone through, noted, opened again and deleted."""

from __future__ import annotations

from pathlib import Path

import pytest
from cli.running import Diagnose
from cli.tuned import BLUE


@pytest.fixture
def walked(blue: Diagnose) -> Diagnose:
    """A car with one walk that was left after its first answer, and one without a car."""
    blue("walk", "revs-hang", "--plain", "--engine", BLUE, typed="\n1\nq\n")
    return blue


def the_id(diagnose: Diagnose) -> str:
    (one,) = diagnose("outing", "list", "--json").json
    assert isinstance(one["id"], str)
    return one["id"]


def test_a_walk_is_listed_and_found_by_what_it_was(walked: Diagnose) -> None:
    told = walked("outing", "list").out
    assert f"revs hang · {BLUE} · not finished" in told
    assert walked("outing", "list", "--car", BLUE, "revs", "hang").out == told
    assert walked("outing", "list", "--symptom", "revs-hang", "--since", "2020-01-01").out == told
    assert walked("outing", "list", "--until", "2020-01-01").out == "No walk fits that.\n"
    assert walked("outing", "list", "no", "such", "word", "--json").json == []


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["list", "--symptom", "revs-hung"], "did you mean 'revs-hang'"),
        (["list", "--car", "blue trugy"], f"did you mean '{BLUE}'"),
        (["list", "--since", "tomorrow"], "does not match the format"),
        (["show", "yesterday"], "there is no outing 'yesterday'"),
        (["replay", "yesterday"], "there is no outing 'yesterday'"),
        (["note", "yesterday", "x"], "there is no outing 'yesterday'"),
        (["note", "last", "  "], "the note is empty"),
        (["reopen", "last"], "is still open"),
        (["delete", "yesterday", "--yes"], "there is no outing 'yesterday'"),
        (["delete", "last"], "nothing was deleted: say --yes"),
    ],
)
def test_what_can_not_be_is_refused(walked: Diagnose, words: list[str], told: str) -> None:
    found = walked("outing", *words)
    assert found.code == 2
    assert told in found.err
    assert the_id(walked)


def test_a_walk_is_shown_and_gone_through(walked: Diagnose) -> None:
    shown = walked("outing", "show", "last").out
    assert "what was looked at and done" in shown
    assert "It has not ended yet." in shown
    replayed = walked("outing", "replay", the_id(walked)).out
    assert "Step 1 of " in replayed
    assert "owed before a needle then" in replayed
    steps = walked("outing", "replay", "last", "--json").json
    assert steps["same knowledge"] is True
    assert steps["steps"][0]["event"]["kind"] == "started"
    assert steps["steps"][0]["owed"]


def test_a_note_is_kept_and_found(walked: Diagnose) -> None:
    assert "the bell was loose" in walked("outing", "note", "last", "the bell was loose").out
    assert "the bell was loose" in walked("outing", "show", "last").out
    assert BLUE in walked("outing", "list", "BELL").out
    (one,) = walked("outing", "list", "--json").json
    assert [note["text"] for note in one["notes"]] == ["the bell was loose"]


def test_a_deleted_walk_is_gone_and_the_record_says_that_it_was(walked: Diagnose, tmp_path: Path) -> None:
    outing = the_id(walked)
    walked("outing", "note", "last", "the friend's bell")
    told = walked("outing", "delete", outing, "--yes")
    assert told.out == f"The walk of {outing} is deleted.\n"
    assert walked("outing", "list").out == "No walk fits that.\n"
    assert "1 outing was deleted from it by hand" in walked("record", "check").out
    assert "1 outing was deleted" in walked("record", "backup", tmp_path / "copy.sqlite3").out
    assert walked("record", "check", "--json").json["deleted"] == 1
    assert b"friend" not in (tmp_path / "copy.sqlite3").read_bytes()
    assert "written anew" in walked("record", "tidy").out


def test_what_is_asked_before_says_what_goes_and_what_stays(walked: Diagnose) -> None:
    told = walked("outing", "delete", "last").out
    assert "is taken out of the file" in told
    assert "a screw stays where it was turned" in told
