"""Rounds: how they are read, and what their lines take."""

from __future__ import annotations

import pytest
from graph.sound_files import SOUND

from diagnose.graph.model import Round
from diagnose.graph.problem import KnowledgeError
from diagnose.graph.read import read


def test_a_check_that_there_is_not_is_told_with_its_place_and_the_nearest_name() -> None:
    files = {**SOUND, "rounds.yaml": SOUND["rounds.yaml"].replace("fail-safe]", "fail-save]")}
    with pytest.raises(KnowledgeError) as told:
        read(files)
    assert [str(one) for one in told.value.problems] == [
        "rounds.yaml:3:63: unknown check 'fail-save'; did you mean 'fail-safe' (unknown-name)"
    ]


def test_a_round_without_a_reason_is_refused() -> None:
    files = {**SOUND, "rounds.yaml": SOUND["rounds.yaml"].replace(", because: The radio is on once.", "")}
    with pytest.raises(KnowledgeError, match="because"):
        read(files)


@pytest.mark.parametrize(
    ("minutes", "share"), [(5.0, 0.5), (3.0, 0.0), (7.0, 1.0)], ids=["some", "nothing but the longest", "no saving"]
)
def test_the_longest_line_takes_its_minutes_and_the_others_share_the_rest(minutes: float, share: float) -> None:
    made = Round("once round", "parked", ("a", "b", "c"), minutes, "It is one way.")
    assert made.share({"a": 3.0, "b": 1.0, "c": 3.0}) == share
