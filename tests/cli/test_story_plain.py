"""``diagnose walk``: a history question that takes several answers, in plain lines and from a file."""

from __future__ import annotations

from pathlib import Path

import pytest
from cli.running import Diagnose

from diagnose.reason import events as ev
from diagnose.record.journal import Journal

WALK = ("walk", "revs-hang", "--plain")
SEVERAL = """\
format: 1
changed:
  ask: What has happened to it?
  several: true
  answers:
    nothing: {say: nothing that I know of, healthy: true}
    opened: {say: something was opened, if: {front-seal-leaks: 0.4}, else: 0.1}
    crash: {say: it crashed, if: {pressure-line-off: 0.5}, else: 0.1, look early: [tank-holds-pressure]}
    stored: {say: it stood unused, if: {front-seal-leaks: 0.2}, else: 0.1}
"""
CASE = "symptom: revs-hang\nhistory: {changed: [crash, opened]}\notherwise: stop\n"


@pytest.fixture(autouse=True)
def _several(shipped: Path) -> None:
    (shipped / "history.yaml").write_text(SEVERAL, "utf-8")


def told(tmp_path: Path) -> list[ev.Event]:
    """Return what was told in the newest outing."""
    with Journal.open(tmp_path / "home" / "journal.sqlite3") as journal:
        stored = journal.read(journal.streams("outing/")[-1].name)
    return [event for event in map(ev.from_json, stored) if isinstance(event, ev.Told)]


@pytest.mark.parametrize("typed", ["2 3", "3,2", " 2, 3 ", "3 2 2"])
def test_several_numbers_are_typed_in_one_line_in_any_order(diagnose: Diagnose, tmp_path: Path, typed: str) -> None:
    found = diagnose(*WALK, typed=f"{typed}\n")
    assert "choose all that are true" in found.out
    assert "Type a number, or several (1 3), or Enter to skip. " in found.out
    assert [event.said for event in told(tmp_path) if isinstance(event, ev.Told)] == [("opened", "crash")]


def test_none_of_these_is_refused_beside_another_and_the_question_stays(diagnose: Diagnose, tmp_path: Path) -> None:
    found = diagnose(*WALK, typed="1 2\n2\n")
    assert "'nothing that I know of' can only be chosen alone" in found.out
    assert [event.said for event in told(tmp_path) if isinstance(event, ev.Told)] == [("opened",)]


def test_a_number_that_is_none_of_these_answers_nothing(diagnose: Diagnose, tmp_path: Path) -> None:
    found = diagnose(*WALK, typed="2 7\n")
    assert "'2 7' is none of these." in found.out
    assert told(tmp_path) == []


def test_a_file_of_answers_tells_several_in_a_list(diagnose: Diagnose, tmp_path: Path) -> None:
    case = tmp_path / "case.yaml"
    case.write_text(CASE, "utf-8")
    belief = diagnose("walk", "--answers", case, "--json").json["belief"]
    case.write_text(CASE.replace("[crash, opened]", "crash"), "utf-8")
    alone = diagnose("walk", "--answers", case, "--json").json["belief"]
    assert belief["front-seal-leaks"] / belief["not listed"] > 3 * alone["front-seal-leaks"] / alone["not listed"]


@pytest.mark.parametrize(
    ("wrong", "line"),
    [
        ("[crash, opend]", "case.yaml:2:11: 'changed' has no answer 'opend'; did you mean 'opened' (unknown-name)"),
        ("[crash, nothing]", "'nothing that I know of' can only be chosen alone"),
    ],
)
def test_a_file_that_tells_what_can_not_be_is_refused(
    diagnose: Diagnose, tmp_path: Path, wrong: str, line: str
) -> None:
    case = tmp_path / "case.yaml"
    case.write_text(CASE.replace("[crash, opened]", wrong), "utf-8")
    found = diagnose("walk", "--answers", case)
    assert found.code == 2
    assert line in found.err


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        ("[tank-holds-pressure]", "[tank-holds]", "unknown check 'tank-holds'"),
        ("several: true", "several: true\n  not for: [hums]", "unknown symptom 'hums'"),
        ("several: true", "several: true\n  after: {chnaged: [crash]}", "unknown question 'chnaged'"),
        ("several: true", "several: true\n  unless: {changed: [crsh]}", "'changed' has no answer 'crsh'"),
    ],
)
def test_a_question_that_names_what_is_not_there_is_refused(
    diagnose: Diagnose, shipped: Path, old: str, new: str, line: str
) -> None:
    (shipped / "history.yaml").write_text(SEVERAL.replace(old, new), "utf-8")
    found = diagnose(*WALK)
    assert found.code == 2
    assert line in found.err
