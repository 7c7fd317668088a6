"""An engine's own window, from heads at good tunes. 250 °F to come in, 270 to stop: common practice, no source."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.tune.mixture import Conditions
from diagnose.tune.needles import Corrected, Good
from diagnose.tune.well import Card
from diagnose.tune.window import BESIDE, LEAST_HEADS, disorder, offered, own_heads

COME_IN = (250 - 32) / 1.8
LIMITS = {
    "head-floor": (180 - 32) / 1.8,
    "head-ceiling": (220 - 32) / 1.8,
    "head-come-in": COME_IN,
    "head-stop": (270 - 32) / 1.8,
    "warm-enough-to-look": 70.0,
}


def good(head: float | None) -> Good:
    return Good(1.0, Conditions(head=head))


def test_the_heads_are_those_of_the_good_tunes_and_of_the_well_card() -> None:
    entries = [good(104), good(None), Corrected(2.0, {}), good(97)]
    assert own_heads(entries, Card(1.0, conditions=Conditions(head=110))) == (97, 104, 110)
    assert own_heads(entries, Card(1.0)) == (97, 104)
    assert own_heads([], None) == ()


def test_a_few_heads_make_a_window_a_little_wider_than_they_are() -> None:
    found = offered((100.0, 106.0, 109.0), LIMITS)
    assert found.window == (100 - BESIDE, 109 + BESIDE)
    assert found.said == (
        "Its own heads at 3 good tunes: 100 °C (212 °F) to 109 °C (228 °F). They would make a window of 95 °C (203 °F) "
        "to 114 °C (237 °F)."
    )


@pytest.mark.parametrize(
    ("heads", "said"),
    [
        ((), "None is written down yet: it takes three."),
        ((100.0,), "One is written down: it takes two more."),
        ((100.0, 101.0), "Two are written down: it takes one more."),
    ],
)
def test_too_few_heads_say_what_is_missing(heads: tuple[float, ...], said: str) -> None:
    found = offered(heads, LIMITS)
    assert found.window is None
    assert found.said.startswith(said)


def test_heads_that_all_lie_at_the_heat_of_coming_in_make_none() -> None:
    found = offered((121.0, 124.0, 130.0), LIMITS)
    assert found.window is None
    assert "too hot" in found.said


@given(st.lists(st.floats(-40, 300), min_size=LEAST_HEADS, max_size=9))
def test_no_window_reaches_the_come_in_temperature_or_below_what_is_warm_enough_to_look(heads: list[float]) -> None:
    made = offered(tuple(sorted(heads)), LIMITS).window
    if made is not None:
        assert 70 <= made.floor < made.ceiling < COME_IN
        assert disorder({**LIMITS, "head-floor": made.floor, "head-ceiling": made.ceiling}) == ""


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"head-floor": 105.0}, "the floor of the window (105 °C (221 °F)) must lie below its ceiling"),
        ({"head-ceiling": COME_IN}, "its ceiling (121 °C (250 °F)) must lie below the temperature to come in at"),
        ({"head-come-in": 140.0}, "the temperature to come in at (140 °C (284 °F)) must lie below"),
    ],
)
def test_temperatures_out_of_order_are_refused_in_a_line(changed: dict[str, float], said: str) -> None:
    assert disorder(LIMITS) == ""
    assert said in disorder({**LIMITS, **changed})
