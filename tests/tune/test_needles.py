"""The ledger: depths keep their reference, an undo counts back, and the same entries always come to the same."""

from __future__ import annotations

import math

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Follow, Screw, Way
from diagnose.tune.air import Air
from diagnose.tune.fuel import Blend
from diagnose.tune.mixture import Conditions
from diagnose.tune.needles import (
    Baseline,
    Corrected,
    Depth,
    Good,
    Ledger,
    LedgerEntry,
    Settings,
    Turned,
    WentBack,
    caliper,
    closed,
    flush,
    fold,
    steps,
)

BASE: Settings = {
    "low needle": closed(14),
    "mid needle": closed(20),
    "high needle": closed(36),
    "idle stop": closed(24),
}
DAY = Conditions(Air(22, 100_400, 0.55), Blend(0.16, 0.10), 105)
BACK: dict[Way, Way] = {"richer": "leaner", "leaner": "richer", "in": "out", "out": "in"}

NEEDLES = st.sampled_from(["low needle", "mid needle", "high needle"])
HOURS = st.sampled_from([0.25, 0.5, 1.0])
DEPTHS = st.one_of(
    st.integers(0, 144).map(lambda halves: closed(halves / 2)),
    st.integers(0, 24).map(lambda halves: flush(halves / 2, sunk=True)),
    st.integers(0, 30).map(lambda tenths: caliper(tenths / 10, 0.5)),
)
SETTINGS = st.dictionaries(st.sampled_from(list(BASE)), DEPTHS)
TURNS = st.one_of(
    st.builds(Turned, st.just(2.0), NEEDLES, st.sampled_from(["richer", "leaner"]), HOURS),
    st.builds(Turned, st.just(2.0), st.just("idle stop"), st.sampled_from(["in", "out"]), HOURS),
)
ENTRIES = st.lists(
    st.one_of(
        TURNS,
        st.builds(Good, st.just(3.0), st.just(DAY)),
        st.builds(Baseline, st.just(1.0), SETTINGS, air_screw=st.booleans()),
        st.builds(WentBack, st.just(4.0), SETTINGS),
        st.builds(Corrected, st.just(5.0), SETTINGS),
    ),
    max_size=25,
)


def base(low: Depth = BASE["low needle"]) -> Baseline:
    return Baseline(0.0, {**BASE, "low needle": low})


def turned(screw: Screw, way: Way, hours: float = 1.0) -> Turned:
    return Turned(2.0, screw, way, hours)


def hours(ledger: Ledger, screw: Screw) -> float:
    return ledger.now[screw].hours


def test_a_ledger_holds_the_baseline_the_last_good_tune_and_now() -> None:
    found = fold(
        [base(), turned("high needle", "richer"), Good(3.0, DAY, "medium"), turned("high needle", "leaner", 0.5)]
    )
    assert found.baseline is not None
    assert found.last_good is not None
    assert found.baseline.settings["high needle"] == closed(36)
    assert found.last_good.settings["high needle"] == closed(37)
    assert (found.last_good.conditions, found.last_good.plug, found.last_good.at) == (DAY, "medium", 3.0)
    assert hours(found, "high needle") == 36.5
    assert found.drift() == -0.5
    assert found.record == found.last_good
    assert [type(entry) for entry in found.since_good()] == [Turned]
    assert [step.stands["high needle"].hours for step in steps(found.entries)] == [36, 37, 37, 36.5]


def test_richer_is_outwards_and_a_stop_that_goes_in_opens_the_barrel() -> None:
    found = fold([base(), turned("low needle", "richer"), turned("idle stop", "in", 0.5)])
    assert (hours(found, "low needle"), hours(found, "idle stop")) == (15, 23.5)
    assert found.moved == {"low needle": 1, "idle stop": 0.5}


def test_a_low_screw_that_lets_in_air_turns_the_other_way_round() -> None:
    found = fold([Baseline(0.0, BASE, air_screw=True), turned("low needle", "richer"), turned("high needle", "richer")])
    assert (hours(found, "low needle"), hours(found, "high needle")) == (13, 37)
    assert found.moved == {"low needle": 1, "high needle": 1}


def test_the_stop_follows_the_low_needle_in_the_same_step() -> None:
    step = Turned(2.0, "low needle", "leaner", 1, {"idle stop": Follow("out", 1)}, "loads up", "better", "an outing")
    found = fold([base(), step])
    assert (hours(found, "low needle"), hours(found, "idle stop")) == (13, 25)
    assert found.moved == {"low needle": -1, "idle stop": -1}
    assert found.entries[-1] == step


def test_going_back_and_a_good_tune_begin_the_count_again_and_a_correction_counts() -> None:
    lean: list[LedgerEntry] = [base(), turned("low needle", "leaner"), turned("high needle", "leaner")]
    assert fold([*lean, WentBack(4.0, {"low needle": closed(15)})]).moved == {"high needle": -1}
    assert fold([*lean, Good(3.0, DAY)]).moved == {}
    assert fold([*lean, Corrected(5.0, {"low needle": closed(12)})]).moved == {"low needle": -2, "high needle": -1}


def test_turns_of_a_screw_that_nobody_counted_are_still_known_from_the_last_good_tune() -> None:
    found = fold([Good(1.0, DAY), turned("high needle", "leaner"), turned("high needle", "leaner", 0.5)])
    assert (found.now, found.drift()) == ({}, -1.5)
    assert fold([Good(1.0, DAY), WentBack(2.0, {}), turned("high needle", "leaner")]).drift() is None
    assert fold([turned("high needle", "leaner")]).drift() is None


def test_a_screw_turned_past_its_end_must_be_counted_again() -> None:
    found = fold([base(closed(0.5)), turned("low needle", "leaner")])
    assert "low needle" not in found.now
    assert found.uncounted == {"low needle"}
    assert found.moved == {"low needle": -1}
    counted = fold([Corrected(5.0, {"low needle": closed(3)})], found)
    assert (counted.uncounted, hours(counted, "low needle")) == (frozenset(), 3)


def test_a_caliper_tells_hours_by_the_pitch_and_stays_a_caliper() -> None:
    depth = caliper(1.5, 0.5)  # three turns of an M3 thread
    assert (depth.hours, depth.kind, depth.mm) == (36, "caliper", 1.5)
    sunk = caliper(0.35, 0.7, sunk=True)
    assert (sunk.hours, sunk.mm) == (pytest.approx(-6), pytest.approx(-0.35))
    moved = sunk.moved(1)
    assert moved is not None
    assert moved.kind == "caliper"


def test_depths_from_different_references_are_not_subtracted() -> None:
    assert closed(12).since(flush(0)) is None
    assert flush(2).since(flush(1, sunk=True)) == 3
    ledger = fold([base(), Good(3.0, DAY), Corrected(5.0, {"high needle": flush(2)})])
    assert ledger.drift() is None


@pytest.mark.parametrize("nonsense", [math.nan, math.inf, -1.0, 72.5, 1000.0])
def test_a_depth_that_no_screw_has_is_refused(nonsense: float) -> None:
    for make in (closed, flush, lambda mm: caliper(mm * 0.5, 0.5)):
        with pytest.raises(DiagnoseError, match="can't be"):
            make(nonsense)


@pytest.mark.parametrize("pitch", [math.nan, math.inf, 0.0, -0.5, 3.0])
def test_a_pitch_that_no_thread_has_is_refused(pitch: float) -> None:
    with pytest.raises(DiagnoseError, match="mm a turn"):
        caliper(1.0, pitch)


@pytest.mark.parametrize("much", [1.01, 1.5, 12.0, 0.0, -1.0, math.nan, math.inf])
def test_an_adjustment_of_more_than_an_hour_is_refused(much: float) -> None:
    with pytest.raises(DiagnoseError, match="at most one hour"):
        turned("high needle", "leaner", much)
    with pytest.raises(DiagnoseError, match="idle stop by more than 0 and at most one hour"):
        Turned(2.0, "low needle", "leaner", 1, {"idle stop": Follow("out", much)})


@pytest.mark.parametrize(("screw", "way"), [("idle stop", "leaner"), ("low needle", "in"), ("high needle", "out")])
def test_a_way_that_a_screw_does_not_go_is_refused(screw: Screw, way: Way) -> None:
    with pytest.raises(DiagnoseError, match=f"the {screw} goes"):
        turned(screw, way)


@given(ENTRIES, TURNS)
def test_an_undo_counts_back(entries: list[LedgerEntry], turn: Turned) -> None:
    before = fold(entries)
    there = fold([turn], before)
    back = fold([Turned(6.0, turn.screw, BACK[turn.way], turn.hours)], there)
    assert back.moved == before.moved
    if turn.screw not in there.uncounted:
        assert back.now == before.now
        assert back.drift(turn.screw) == before.drift(turn.screw)


@given(ENTRIES, ENTRIES)
def test_the_same_entries_come_to_the_same_however_they_are_told(
    one: list[LedgerEntry], two: list[LedgerEntry]
) -> None:
    assert fold(two, fold(one)) == fold([*one, *two])


@given(ENTRIES)
def test_entries_survive_being_written_down(entries: list[LedgerEntry]) -> None:
    read = msgspec.json.decode(msgspec.json.encode(entries), type=list[LedgerEntry])
    assert fold(read) == fold(entries)


@given(ENTRIES)
def test_no_screw_ever_stands_where_none_can(entries: list[LedgerEntry]) -> None:
    for depth in (depth for step in steps(entries) for depth in step.stands.values()):
        assert depth.hours <= 72
        assert depth.hours >= (0 if depth.kind == "closed" else -72)


def test_ten_thousand_changes_are_all_kept_and_counted() -> None:
    changes = [turned("low needle", "leaner" if number % 2 else "richer") for number in range(10_000)]
    found = fold([base(), *changes])
    assert len(found.entries) == 10_001
    assert hours(found, "low needle") == 14


def test_a_screw_set_by_a_mark_begins_its_count_again_and_is_not_known() -> None:
    found = fold([base(), turned("mid needle", "leaner"), WentBack(4.0, {}, unrecorded=("mid needle",))])
    assert found.moved == {}
    assert "mid needle" not in found.now
    assert hours(found, "high needle") == 36


def test_a_good_tune_that_nobody_counted_is_no_record_to_go_back_to() -> None:
    assert fold([Good(1.0, DAY)]).record is None
    found = fold([Good(1.0, DAY), base()])
    assert found.record == found.baseline
