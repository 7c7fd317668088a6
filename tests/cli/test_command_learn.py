"""``diagnose record learned|learn|forget|share``: asked for, shown, taken back, and given to another club."""

from __future__ import annotations

from pathlib import Path

import pytest
from cli.running import Diagnose
from reason.ended import mended
from shipped import proven_already

from diagnose.reason import events as ev
from diagnose.record.journal import Journal


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    proven_already(monkeypatch)
    folder = tmp_path / "home"
    monkeypatch.setenv("DIAGNOSE_HOME", str(folder))
    bodies = [ev.to_json(event) for event in mended("overheats", "fins-packed").events]
    noted = [*bodies[:1], ev.to_json(ev.Noted(1.0, "Otto Beispiel's car, on a wet Sunday")), *bodies[1:]]
    with Journal.open(folder / "journal.sqlite3") as journal:
        for number in range(8):
            journal.append(f"outing/{number}", 0, noted, 0.0)
    return folder


def test_learned_shows_and_changes_nothing(diagnose: Diagnose, home: Path) -> None:
    shown = diagnose("record", "learned").out
    assert "8 outings, and 8 of them count" in shown
    assert "Nothing is in use" in shown
    assert diagnose("record", "learned", "--json").json["in_use"] is None
    one = diagnose("record", "learned", "overheats").out
    assert "fins" in one
    assert "before and" in one
    assert "It helps: what was found had" in one


def test_a_symptom_without_outings_is_shown_as_it_is(diagnose: Diagnose, home: Path) -> None:
    assert "no outing of yours counts here yet" in diagnose("record", "learned", "revs-hang").out
    wrong = diagnose("record", "learned", "revs-hangs")
    assert wrong.code == 2
    assert "did you mean 'revs-hang'" in wrong.err


def test_learn_takes_over_and_forget_takes_back(diagnose: Diagnose, home: Path) -> None:
    assert "Taken over on 1 symptom" in diagnose("record", "learn").out
    assert diagnose("record", "learned", "--json").json["in_use"]["counts"] == {"overheats": {"fins-packed": 8}}
    assert "files' weights count again" in diagnose("record", "forget").out
    assert diagnose("record", "learned", "--json").json["in_use"] is None


def test_the_list_and_the_look_count_what_was_learned_without_an_engine_too(diagnose: Diagnose, home: Path) -> None:
    asked = (("owed", "overheats", "--json"), ("why", "fins-and-shell", "--symptom", "overheats", "--json"))
    before = [diagnose(*one).json for one in asked]
    diagnose("record", "learn")
    diagnose("engine", "add", "blue truggy")
    after = [diagnose(*one).json for one in asked]
    assert after != before
    with_engine = [diagnose(*one, "--engine", "blue truggy").json for one in asked]
    assert [one["check"] for one in after[0]["owed"]] == [one["check"] for one in with_engine[0]["owed"]]
    diagnose("record", "forget")
    assert [diagnose(*one).json for one in asked] == before


def test_a_journal_that_is_broken_stops_no_list(diagnose: Diagnose, home: Path) -> None:
    (home / "journal.sqlite3").write_bytes(b"no journal" * 1000)
    assert diagnose("owed", "overheats").code == 0


def test_what_was_deleted_is_said_to_count_until_it_is_learned_again(diagnose: Diagnose, home: Path) -> None:
    assert "still counts" not in diagnose("outing", "delete", "0", "--yes").out  # nothing is in use
    diagnose("record", "learn")
    assert "Learning again" not in diagnose("record", "learned").out
    assert "What was learned still counts it" in diagnose("outing", "delete", "1", "--yes").out
    assert "In use: 7 outings on 1 symptom" in diagnose("record", "learned").out
    assert "Learning again would take over 6 outings on 1 symptom." in diagnose("record", "learned").out
    diagnose("record", "learn")
    assert diagnose("record", "learned", "--json").json["in_use"]["counts"] == {"overheats": {"fins-packed": 6}}
    assert "Learning again" not in diagnose("record", "learned").out


def test_a_share_file_has_counts_only_and_another_club_reads_it(
    diagnose: Diagnose, home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "ours.yaml"
    assert "8 outings, as counts" in diagnose("record", "share", "-o", file).out
    text = file.read_text("utf-8")
    assert "fins-packed: 8" in text
    assert not any(word in text for word in ("Otto", "Sunday", "19", "20"))
    assert diagnose("record", "share", "-o", file).code == 2  # nothing is written over
    assert "count twice" in diagnose("record", "learn", "--with", file).err  # its own
    monkeypatch.setenv("DIAGNOSE_HOME", str(tmp_path / "other"))
    assert "nothing to share yet" in diagnose("record", "share", "-o", tmp_path / "none.yaml").err
    assert "Taken over on 1 symptom" in diagnose("record", "learn", "--with", file).out


def test_a_share_file_that_is_off_changes_nothing(diagnose: Diagnose, home: Path, tmp_path: Path) -> None:
    file = tmp_path / "theirs.yaml"
    file.write_text("format: 1\ncured:\n  overheats:\n    fins-packed: -3\n# whole\n", "utf-8")
    refused = diagnose("record", "learn", "--with", file)
    assert refused.code == 2
    assert f"{file}:4:5: '-3' is no count" in refused.err
    assert diagnose("record", "learned", "--json").json["in_use"] is None
