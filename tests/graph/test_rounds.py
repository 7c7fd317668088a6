"""Rounds: how they are read, and what their lines take."""

from __future__ import annotations

import pytest
from graph.sound_files import SOUND
from shipped import load

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


QUICK = {
    "press-and-pinch": "hold-and-stream",
    "plug-snug": "plug-out",
    "plug-grade": "plug-out",
    "both-servos": "battery-under-load",
    "range-test": "range-walk",
}
"""Each quick look, and the longer one that it stands for."""


@pytest.mark.parametrize(("quick", "longer"), QUICK.items())
def test_a_quick_look_misses_more_than_the_longer_one_that_it_stands_for(quick: str, longer: str) -> None:
    known = load()
    one, other = known.checks[quick], known.checks[longer]
    assert one.minutes < other.minutes + known.bench[other.state].into
    told = {fault for answer in one.answers.values() for fault in answer.given if fault in known.shown_by(one)}
    assert told
    for fault in told & {f for answer in other.answers.values() for f in answer.given}:
        missed, missed_longer = (known.chances(look, fault)[look.healthy] for look in (one, other))
        assert missed >= missed_longer - 1e-9, fault


def test_neither_look_at_the_stream_shows_a_filter_that_passes_a_gentle_press() -> None:
    known = load()
    looks = (known.checks["press-and-pinch"], known.checks["hold-and-stream"])
    assert all("fuel-filter-blocked.passing" not in known.shown_by(look) for look in looks)
    assert "fuel-filter-blocked.passing" in known.shown_by(known.checks["fuel-filter-through"])
