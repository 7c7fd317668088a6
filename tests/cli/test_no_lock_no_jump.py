"""In plain lines: no lock is told of where nothing is to be turned, and no number is left out without need."""

from __future__ import annotations

from pathlib import Path

import pytest
from shipped import load

from diagnose.commands.plain_keys import by_number
from diagnose.reason.events import CANT_TELL, NO_TOOL
from diagnose.reason.view import Choice
from diagnose.screens.widgets.choices import numbered
from diagnose.workshop.session import to_turn

KNOWLEDGE = load()
MANY = [Choice(f"c{number}", "say") for number in range(1, 12)]
RESERVED = [Choice(CANT_TELL, "I can't tell"), Choice(NO_TOOL, "no tool")]


def test_a_long_list_counts_on_without_a_gap(capsys: pytest.CaptureFixture[str]) -> None:
    assert list(by_number(MANY)) == [str(number) for number in range(1, 12)]
    assert "9  say\n10  say" in capsys.readouterr().out


def test_9_and_0_keep_their_meaning_where_they_have_one() -> None:
    keys = by_number([*MANY[:8], *RESERVED])
    assert list(keys) == ["1", "2", "3", "4", "5", "6", "7", "8", "0", "9"]
    assert keys["9"].id == NO_TOOL


def test_the_screen_has_a_digit_for_the_ninth_too() -> None:
    assert [digit for digit, _ in numbered(MANY)] == [*"123456789", " ", " "]
    assert [digit for digit, _ in numbered([*MANY[:8], *RESERVED])] == [*"12345678", "0", "9"]


def test_no_shipped_check_has_more_answers_than_digits() -> None:
    assert max(len(check.answers) for check in KNOWLEDGE.checks.values()) <= 8


@pytest.mark.parametrize(("symptom", "told"), [("revs-hang", True), ("kicks-back", False)])
def test_a_lock_is_told_of_only_where_a_screw_could_be_wrong(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path, symptom: str, told: bool
) -> None:
    from diagnose.cli import cli, guarded

    monkeypatch.setenv("DIAGNOSE_HOME", str(tmp_path / "home"))
    case = tmp_path / "case.yaml"
    case.write_text(f"symptom: {symptom}\notherwise: stop\n")
    arguments = ["walk", "--answers", str(case)]
    guarded(lambda: cli.main(arguments, prog_name="diagnose", standalone_mode=False))
    out = capsys.readouterr().out
    assert "Stopped: " in out
    assert ("No needle is turned now" in out) is told


def test_only_what_an_adjustment_puts_right_is_to_be_turned() -> None:
    assert to_turn(KNOWLEDGE, ["igniter-flat", "low-needle-lean"])
    assert not to_turn(KNOWLEDGE, ["igniter-flat", "needle-moved", "not listed"])
