"""``diagnose needles``: a good mark or a typo undone, an earlier tune gone back to, screws by their short names."""

from __future__ import annotations

import pytest
from cli.running import Diagnose


@pytest.fixture
def red(diagnose: Diagnose) -> Diagnose:
    diagnose("engine", "add", "red", "--needles", "3")
    for screw, hours in (("low", "12"), ("mid", "20"), ("high", "36"), ("stop", "6")):
        assert diagnose("needles", "red", "set", screw, hours).code == 0
    return diagnose


def test_screws_go_by_their_short_names(red: Diagnose) -> None:
    now = red("needles", "red", "--json").json["now"]
    assert {screw: one["hours"] for screw, one in now.items()} == {
        "low needle": 12,
        "mid needle": 20,
        "high needle": 36,
        "idle stop": 6,
    }
    assert "there is no screw 'hi'" in red("needles", "red", "set", "hi", "3").err


def test_first_counts_and_a_typo_put_right_make_one_line_of_the_baseline(red: Diagnose) -> None:
    red("needles", "red", "set", "high", "39")
    told = red("needles", "red", "history").out
    assert told.count("baseline") == 1
    assert "39 hours" in told or "3¼ turns" in told


def test_a_good_mark_is_undone_and_the_one_before_counts_again(red: Diagnose) -> None:
    red("needles", "red", "good", "--head", "98C")
    first = red("needles", "red", "--json").json["last_good"]
    red("needles", "red", "set", "high", "30")
    red("needles", "red", "good", "--head", "110C")
    undone = red("needles", "red", "undo")
    assert "marked good" in undone.out
    assert red("needles", "red", "--json").json["last_good"] == first
    red("needles", "red", "undo")  # the count of the high needle
    assert red("needles", "red", "--json").json["now"]["high needle"]["hours"] == 36


def test_there_comes_an_end_to_what_can_be_undone(red: Diagnose) -> None:
    for _ in range(4):
        assert red("needles", "red", "undo").code == 0
    found = red("needles", "red", "undo")
    assert found.code == 2
    assert "nothing in the ledger of 'red' can be struck out" in found.err


def test_an_earlier_tune_and_the_baseline_can_be_gone_back_to(red: Diagnose) -> None:
    red("needles", "red", "good")
    red("needles", "red", "set", "high", "30")
    red("needles", "red", "good")
    assert "to go back to" in red("needles", "red").out
    for which, hours in ((None, 30), ("1", 30), ("2", 36), ("3", 36), ("baseline", 36)):
        found = red("needles", "red", "back", *(("--to", which) if which else ()), "--json").json
        assert found["targets"]["high needle"]["record"]["hours"] == hours, which
    wrong = red("needles", "red", "back", "--to", "4")
    assert wrong.code == 2
    assert "there is no tune '4' to go back to: it can be 1, 2, 3, baseline" in wrong.err
