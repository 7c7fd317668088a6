"""Quarters, halves, turns and fractions are read wherever a screw is typed, and a quarter of an hour has its words."""

from __future__ import annotations

import pytest

from diagnose.graph.wording import amount
from diagnose.pages.setting import HOURS
from diagnose.pages.turns import faces
from diagnose.reason.view import Turn
from diagnose.tune.typed import depth, hours


@pytest.mark.parametrize("text", ["3 1/4", "3¼", "3.25 turns", "3.25t", "3t 3h", "3 1/4 turns", "39", "39 h"])
def test_a_screw_is_typed_in_hours_turns_or_fractions(text: str) -> None:
    assert hours(text) == depth(text, "closed").hours == 39


def test_a_quarter_a_half_and_a_whole_hour_can_be_written_down_as_turned() -> None:
    assert HOURS == (0.25, 0.5, 1.0)
    assert [amount(one) for one in HOURS] == ["a quarter of an hour", "half an hour", "one hour"]


def test_a_quarter_of_an_hour_is_said_as_the_face_shows_it() -> None:
    assert "from 12 to a quarter of the way to 11." in faces([Turn("high needle", "richer", 0.25)]).words[0]
