"""The last word of a symptom and its hand-overs do not contradict each other."""

from __future__ import annotations

import pytest
from graph.small import HERE, OUT, broken, edited, routed
from shipped import load

RULE = "last-word"
KEPT_OFF = {**OUT, "stay out": True}


def test_a_hand_over_that_keeps_the_car_off_the_track_forbids_the_word_race() -> None:
    known = routed({"out": KEPT_OFF}, race="race")
    (told,) = broken(known, RULE)
    assert "'hangs' says 'race', and its hand-over 'out' keeps the car off the track: outside" in told
    assert broken(routed({"out": KEPT_OFF}), RULE) == []
    assert broken(routed({}, race="race", sign={}), RULE) == []


@pytest.mark.parametrize(
    "text",
    ["Leave it off.", "Drive no more full throttle with it.", "Do not\n start it again.", "Ask before you race it."],
)
def test_a_hand_over_that_forbids_running_says_so_to_the_program_too(text: str) -> None:
    (told,) = broken(routed({"out": {**OUT, "refer": text}}), RULE)
    assert "write 'stay out: true' beside it" in told
    assert broken(routed({"out": {**KEPT_OFF, "refer": text}}), RULE) == []


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"sign": {"low needle": "lean"}}, "is itself a sign that the low needle is lean"),
        ({"runs": False}, "of an engine that stops"),
        ({"runs_away": True}, "of an engine that runs away"),
    ],
)
def test_what_is_lean_or_will_not_run_or_stop_is_not_raced(fields: dict[str, object], said: str) -> None:
    (told,) = broken(edited("symptoms", HERE, race="race", **{"sign": {}, **fields}), RULE)
    assert said in told


def test_no_symptom_of_the_shipped_knowledge_races_on_an_hour() -> None:
    assert {symptom.race for symptom in load().symptoms.values()} == {"race", "stay out"}
