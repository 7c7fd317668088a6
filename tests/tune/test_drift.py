"""What the day explains of a drift, what may be done about it, and what it is evidence for."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.errors import DiagnoseError
from diagnose.graph.model import CAN_SHOW_AT_LEAST
from diagnose.tune.air import Air
from diagnose.tune.drift import CHANCES, Explained, advise, evidence, explain, in_a_line
from diagnose.tune.fuel import Blend
from diagnose.tune.mixture import FEEDS, Conditions, Span, pressurised, suction
from diagnose.tune.needles import Baseline, Depth, Good, Settings, Tune, WentBack, closed, flush, fold

WINDOW = Span((180 - 32) / 1.8, (220 - 32) / 1.8)
WARM, HOT, COOL = 95.0, 110.0, 70.0
WEAK, STRONG = Blend(0.16, 0.10), Blend(0.25, 0.10)
MILD, HOT_DAY = Air(20, 101_325, 0.5), Air(30, 101_325, 0.5)
HIGH: Settings = {"high needle": closed(36)}
HOUR, DAY = 3600.0, 86_400.0

AIRS = st.builds(Air, st.floats(0, 40), st.floats(80_000, 105_000), st.floats(0, 1))
BLENDS = st.builds(Blend, st.floats(0, 0.35), st.floats(0.06, 0.25))
CONDITIONS = st.builds(Conditions, st.none() | AIRS, st.none() | BLENDS)
DRIFTS = st.floats(-12, 12)
DEPTHS = st.floats(0.5, 60).map(closed) | st.floats(0, 20).map(flush)


def good(air: Air | None = MILD, fuel: Blend | None = WEAK, head: float | None = None) -> Tune:
    return Tune(0.0, HIGH, Conditions(air, fuel, head))


def told(drift: float, now: Conditions, then: Tune | None = None, at: float = HOUR, offset: float = 0) -> Explained:
    return explain(drift, then or good(), now, at, offset)


def test_a_hotter_day_explains_the_hours_of_the_table() -> None:
    """20 to 30 °C at three turns: −0.9 by suction and −0.2 by the exhaust's pressure (computed for the project)."""
    found = told(-0.5, Conditions(HOT_DAY, WEAK))
    assert found.hours == pytest.approx((-0.9, -0.2), abs=0.05)
    assert (found.distance, found.unexplained, found.owed) == (0, 0, 0)
    assert found.said == ("Air: 0.6 to 2.4 % less fuel, 0.2 to 0.9 hours leaner.", "Fuel: as it was.")


def test_an_air_and_a_fuel_that_pull_apart_are_told_apart_and_together() -> None:
    found = told(0, Conditions(HOT_DAY, STRONG))
    assert found.said == (
        "Air: 0.6 to 2.4 % less fuel, 0.2 to 0.9 hours leaner.",
        "Fuel: 7.7 to 9.5 % more fuel, 2.8 to 3.4 hours richer.",
    )
    assert found.hours.low == pytest.approx(36 * (1.0772 * 0.9757 - 1), abs=0.02)
    assert found.hours.high == pytest.approx(36 * (1.0945 * 0.9940 - 1), abs=0.02)


@pytest.mark.parametrize(
    ("drift", "distance", "unexplained", "owed"),
    [
        (-0.5, 0.0, 0.0, 0.0),  # inside what the day asks for
        (-2.9, 2.0, -2.0, 0.0),  # two hours further than it asks for
        (0.0, 0.2, 0.0, -0.2),  # not moved: nothing to explain, a little owed
        (1.5, 1.7, 1.5, -0.2),  # the other way
    ],
)
def test_the_drift_left_unexplained(drift: float, distance: float, unexplained: float, owed: float) -> None:
    found = told(drift, Conditions(HOT_DAY, WEAK))
    assert found.distance == pytest.approx(distance, abs=0.06)
    assert found.unexplained == pytest.approx(unexplained, abs=0.06)
    assert found.owed == pytest.approx(owed, abs=0.06)


def test_a_needle_that_did_not_follow_stronger_fuel_is_owed_and_not_unexplained() -> None:
    found = told(0, Conditions(MILD, STRONG))
    assert found.unexplained == 0
    assert found.owed == pytest.approx(2.8, abs=0.05)


def test_what_going_back_has_set_is_not_a_drift_to_explain() -> None:
    """Richened for stronger fuel by going back, then the weak fuel again: the needle stands rich, nothing is broken."""
    ledger = fold(
        [Baseline(0.0, HIGH), Good(1.0, Conditions(MILD, WEAK)), WentBack(2.0, {"high needle": closed(39.5)})]
    )
    drift, tune = ledger.drift(), ledger.last_good
    assert drift is not None
    assert tune is not None
    assert explain(drift, tune, Conditions(MILD, WEAK), HOUR).unexplained == 3.5
    found = explain(drift, tune, Conditions(MILD, WEAK), HOUR, sought=ledger.sought())
    assert (found.unexplained, found.owed) == (0, -3.5)
    assert "Go back to the record" in advise(found, WINDOW, WARM).said


@pytest.mark.parametrize(
    ("now", "hours"),
    [
        (Conditions(HOT_DAY, WEAK), -0.2),  # the smaller of 0.9 and 0.2
        (Conditions(MILD, STRONG), 2.8),
        (Conditions(MILD, WEAK), 0.0),
        (Conditions(None, STRONG), 0.0),  # the air is not known: nothing is certain
    ],
)
def test_the_smaller_estimate_is_what_the_day_explains_at_the_least(now: Conditions, hours: float) -> None:
    assert told(-1, now).at_least == pytest.approx(hours, abs=0.05)
    assert explain(-1, good(), now, HOUR, 0, sought=-1).at_least == told(-1, now).at_least


def test_beside_going_back_the_day_explains_nothing_more() -> None:
    assert explain(-1, good(), Conditions(HOT_DAY, WEAK), HOUR, sought=-0.5).at_least == 0


def test_only_what_adjustments_sought_can_be_unexplained() -> None:
    found = explain(-3, good(), Conditions(MILD, WEAK), HOUR, sought=-2)
    assert (found.unexplained, found.owed) == (-2, 1)
    assert explain(-3, good(), Conditions(MILD, WEAK), HOUR, sought=2).unexplained == 0


@given(DRIFTS, st.none() | DRIFTS, DEPTHS, CONDITIONS, CONDITIONS)
def test_unexplained_and_owed_add_up_to_the_distance(
    drift: float, sought: float | None, depth: Depth, then: Conditions, now: Conditions
) -> None:
    found = explain(drift, Tune(0.0, {"high needle": depth}, then), now, HOUR, sought=sought)
    assert (found.unexplained is None) == bool(found.shift.unknown)
    assert abs(found.unexplained or 0) + abs(found.owed) == pytest.approx(found.distance, abs=1e-9)
    assert (found.distance == 0) == (found.hours.low <= drift <= found.hours.high)
    assert abs(found.unexplained or 0) <= abs(drift if sought is None else sought)


@given(
    st.floats(-10, 45), st.floats(-10, 45), st.floats(80_000, 105_000), st.floats(80_000, 105_000), st.floats(550, 1000)
)
def test_an_exhaust_that_follows_the_air_stays_inside_the_range(
    warm: float, warmer: float, pressure: float, other: float, exhaust: float
) -> None:
    """What the assumptions say: A ∝ √(p / T_exhaust) · ρ_dry / ρ, with T_exhaust moving as the air does; dry air."""
    old, new = Air(warm, pressure, 0), Air(warmer, other, 0)
    follows = pressurised(new, old) * math.sqrt(exhaust / (exhaust + warmer - warm))
    low, high = sorted((suction(new, old), pressurised(new, old)))
    assert low - 1e-4 <= follows <= high + 1e-4


def test_which_case_it_is() -> None:
    same = told(0, Conditions(HOT_DAY, WEAK))
    assert same.usual
    assert "usually asks for less than an hour." in same.why
    assert not told(0, Conditions(HOT_DAY, WEAK), at=2 * DAY).usual
    assert "the fuel is another one" in told(0, Conditions(HOT_DAY, STRONG)).why
    assert "another height" in told(0, Conditions(Air(20, 95_000, 0.5), WEAK)).why
    assert "can't be compared" in told(0, Conditions(HOT_DAY)).why
    swing = told(0, Conditions(Air(35, 101_325, 0.4), WEAK), good(Air(10, 101_325, 0.6)))
    assert swing.usual
    assert swing.why.endswith("Today it asks for up to 1.9.")


def test_the_assumptions_are_sentences_and_name_the_offset() -> None:
    found = explain(0, good(), Conditions(HOT_DAY, STRONG), HOUR, offset=6)
    assert "Fuel begins to flow 6 hours out from gently closed." in found.assumptions
    assert any("suction" in line for line in found.assumptions)
    assert any("oil burns" in line for line in found.assumptions)
    assert all(line.endswith(".") for line in (*found.assumptions, *found.said, found.why))
    assert any("is assumed" in line for line in explain(0, good(), Conditions(HOT_DAY, WEAK), HOUR).assumptions)


def test_a_needle_measured_from_flush_gets_the_usual_openings() -> None:
    tune = Tune(0.0, {"high needle": flush(2)}, Conditions(MILD, WEAK))
    found = explain(0, tune, Conditions(MILD, STRONG), HOUR, offset=0)
    assert found.hours == pytest.approx((24 * 0.0772, 54 * 0.0945), abs=0.02)
    assert any("Nobody has counted the high needle" in line for line in found.assumptions)


@pytest.mark.parametrize(
    ("then", "now", "said"),
    [
        (100, 112, "Head: 12 °C (22 °F) hotter than at the last good tune. Lean, or less cooling."),
        (112, 100, "Head: 12 °C (22 °F) cooler than at the last good tune. Rich, or more cooling."),
        (100, 103, "Head: as hot as at the last good tune."),
    ],
)
def test_the_head_is_a_trend_in_words_and_moves_no_hours(then: float, now: float, said: str) -> None:
    found = told(0, Conditions(HOT_DAY, WEAK, now), good(head=then))
    assert found.said[-1].startswith(said)
    assert found.hours == told(0, Conditions(HOT_DAY, WEAK)).hours


@pytest.mark.parametrize("nonsense", [math.nan, math.inf, 73.0, -73.0])
def test_a_drift_that_no_needle_has_is_refused(nonsense: float) -> None:
    with pytest.raises(DiagnoseError, match="can't be"):
        told(nonsense, Conditions(MILD, WEAK))
    with pytest.raises(DiagnoseError, match="seconds"):
        told(0, Conditions(MILD, WEAK), at=math.nan)


def test_stronger_fuel_is_richened_by_the_larger_estimate_before_the_start() -> None:
    advice = advise(told(0, Conditions(MILD, STRONG)), WINDOW)
    assert (advice.way, advice.hours, advice.before_start) == ("richer", 3.5, True)


def test_a_hot_low_day_is_leaned_by_the_smaller_estimate_and_at_most_an_hour() -> None:
    """The standard atmosphere 0 to 1500 m: −2.5 by suction, −3.1 by the exhaust's pressure; still one hour."""
    high = told(0, Conditions(Air(5.25, 84_556, 0), WEAK), good(Air(15, 101_325, 0)))
    assert (advise(high, WINDOW, WARM).way, advise(high, WINDOW, WARM).hours) == ("leaner", 1)
    # 1030 to 990 hPa: −0.7 by both, rounded down to a half
    low = told(0, Conditions(Air(20, 99_000, 0.5), WEAK), good(Air(20, 103_000, 0.5)))
    assert (advise(low, WINDOW, WARM).way, advise(low, WINDOW, WARM).hours) == ("leaner", 0.5)
    # 20 to 30 °C: only 0.2 by the smaller estimate
    assert advise(told(0, Conditions(HOT_DAY, WEAK)), WINDOW, WARM).way == "leave"


@pytest.mark.parametrize(
    ("head", "said"), [(HOT, "hot engine"), (COOL, "cool engine"), (None, "head reading"), (math.nan, "head reading")]
)
def test_only_a_warm_engine_that_was_read_is_leaned(head: float | None, said: str) -> None:
    found = told(0, Conditions(Air(5.25, 84_556, 0), WEAK), good(Air(15, 101_325, 0)))
    advice = advise(found, WINDOW, head)
    assert advice.way == "leave"
    assert said in advice.said


def test_what_is_not_known_or_not_explained_is_never_leaned_for() -> None:
    high = Conditions(Air(5.25, 84_556, 0))
    unknown = advise(told(0, high, good(Air(15, 101_325, 0), None)), WINDOW, WARM)
    assert unknown.way == "leave"
    assert "never leaner on a guess" in unknown.said
    unexplained = advise(told(3, Conditions(HOT_DAY, WEAK)), WINDOW, WARM)
    assert unexplained.way == "leave"
    assert "look for what is wrong" in unexplained.said


def test_what_the_day_does_not_ask_for_is_not_leaned_away() -> None:
    """The needle stands 0.8 rich and the day asks for 0.2 leaner at the least: that allows 0.2, which is left."""
    advice = advise(told(0.8, Conditions(HOT_DAY, WEAK)), WINDOW, WARM)
    assert advice.way == "leave"
    assert "Go back to the record" in advice.said


@given(DRIFTS, DEPTHS, CONDITIONS, CONDITIONS, st.none() | st.floats(), st.none() | st.floats(0, 0.4))
def test_advice_never_passes_its_bounds(
    drift: float,
    depth: Depth,
    then: Conditions,
    now: Conditions,
    head: float | None,
    offset: float | None,
) -> None:
    found = explain(drift, Tune(0.0, {"high needle": depth}, then), now, HOUR, offset)
    advice = advise(found, WINDOW, head)
    ends = [end for feed in FEEDS for end in found.shift.hours(found.at, (feed,))]
    assert advice.hours >= 0
    if advice.way == "leaner":
        assert advice.hours <= 1
        assert advice.hours <= min(abs(end) for end in ends) + 1e-5
        assert all(end < 0 for end in ends)  # every estimate agrees on leaner
        assert drift - advice.hours >= max(ends) - 1e-5  # and it ends no leaner than the richest of them
        assert head is not None
        assert WINDOW.low <= head <= WINDOW.high
        assert not found.shift.unknown
    elif advice.way == "richer":
        assert advice.before_start
        assert max(ends) - drift - 1e-5 <= advice.hours <= max(ends) - drift + 0.5
    else:
        assert advice.hours == 0
        assert max(ends) - drift < 0.5


@pytest.mark.parametrize(
    ("unexplained", "owed", "answer", "setting"),
    [
        (0.0, 0.0, "explained", ""),
        (1.0, 0.5, "explained", ""),
        (-1.2, 0.0, "over an hour", ""),
        (2.5, 0.0, "over two hours", ""),
        (0.0, 2.8, "not followed", "lean"),
        (0.0, -1.5, "not followed", "rich"),
        (1.5, -3.0, "over an hour", ""),
    ],
)
def test_a_drift_is_an_answer(unexplained: float, owed: float, answer: str, setting: str) -> None:
    found = evidence(unexplained, owed)
    assert found is not None
    assert (found.answer, found.setting) == (answer, setting)


def test_an_unexplained_drift_raises_the_mechanical_and_a_day_that_explains_it_the_needle() -> None:
    hour, two, followed, none = evidence(1.5), evidence(3), evidence(0), evidence(0, 3)
    assert hour is not None
    assert two is not None
    assert followed is not None
    assert none is not None
    assert two.mechanical / two.otherwise > hour.mechanical / hour.otherwise > 1
    assert hour.mechanical > hour.needle
    assert none.needle > none.mechanical
    assert followed.mechanical < followed.otherwise


def test_an_unknown_cause_is_no_evidence() -> None:
    assert evidence(None, 3) is None


@pytest.mark.parametrize(("unexplained", "owed"), [(math.nan, 0.0), (0.0, math.nan), (math.inf, 0.0)])
def test_evidence_from_nonsense_is_refused(unexplained: float, owed: float) -> None:
    with pytest.raises(DiagnoseError, match="number of hours"):
        evidence(unexplained, owed)


def test_the_chances_add_up_and_a_quiet_drift_never_counts_as_a_look() -> None:
    for column in range(3):
        assert sum(chances[column] for chances in CHANCES.values()) == pytest.approx(1)
    assert 1 - CHANCES["explained"][0] < CAN_SHOW_AT_LEAST


@pytest.mark.parametrize(
    ("drift", "fuel", "said"),
    [
        (2, WEAK, "the high needle stands 2 hours richer than at the last good tune, 2 hours of it unexplained"),
        (-1.5, WEAK, "the high needle stands 1.5 hours leaner than at the last good tune, 1.5 hours of it unexplained"),
        (0, STRONG, "by air and fuel, the high needle stands 2.8 hours leaner than it should"),
        (0.5, WEAK, "the tune has drifted by no more than air and fuel explain"),
        (0, None, ""),
    ],
)
def test_a_drift_is_told_in_a_line(drift: float, fuel: Blend | None, said: str) -> None:
    assert in_a_line(explain(drift, good(), Conditions(MILD, fuel), HOUR, 0, drift)) == said
