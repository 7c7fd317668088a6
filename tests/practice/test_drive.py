"""The program's advice, followed on simulated engines; and the other ways of working at the same ones."""

from __future__ import annotations

from random import Random

import msgspec
import pytest
from shipped import load

from diagnose.graph.model import Variant
from diagnose.measure.rivals import in_order, needles_first
from diagnose.practice.drive import drive, not_looked_for, over_an_hour
from diagnose.practice.engine import MadeWrong, SimEngine, random_engine, sound_engine, with_trouble
from diagnose.practice.hands import Hands
from diagnose.practice.mechanic import all_knowing, plain_symptom
from diagnose.reason import events as ev
from diagnose.reason.scope import Scope
from diagnose.reason.view import Step, Turn
from diagnose.reason.walk import begin

KNOWLEDGE = load()


def with_fault(fault: str, complaint: str, severity: float = 0.7, mode: int = 0, seed: str = "") -> SimEngine:
    """Return an engine with one fault, complained of."""
    for number in range(100):
        base = sound_engine(f"{fault} {seed} {number}", KNOWLEDGE)
        if KNOWLEDGE.faults[fault].only.fits(base.variant):
            engine = with_trouble(base, MadeWrong(fault, mode, severity))
            return msgspec.structs.replace(engine, complaint=complaint)
    raise AssertionError(fault)


def scope(engine: SimEngine) -> Scope:
    return Scope(KNOWLEDGE, engine.variant)


def test_the_advice_finds_and_mends_a_plain_fault() -> None:
    cured = 0
    for seed in "abcdefgh":
        found = drive(with_fault("pressure-line-off", "cuts-on-the-straight", seed=seed), KNOWLEDGE)
        cured += found.cured
        if found.cured:
            assert any(change.helped and change.what == "pressure-line-off" for change in found.changes)
            assert found.engine.parts.pressure_line == 1
    assert cured >= 6


def test_a_drive_is_the_same_each_time() -> None:
    engine = random_engine("again", KNOWLEDGE)
    assert drive(engine, KNOWLEDGE) == drive(engine, KNOWLEDGE)


@pytest.mark.slow
def test_cured_means_that_nothing_wrong_is_left() -> None:
    for number in range(60):
        engine = random_engine(f"left {number}", KNOWLEDGE)
        found = drive(engine, KNOWLEDGE)
        wrong = [trouble for trouble in engine.troubles if found.engine.still_wrong(trouble)]
        assert found.cured == (found.verdict == "cured" and not wrong)


def test_a_walk_that_goes_on_and_on_is_told_as_one_without_an_end(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("diagnose.reason.play.MOST_STEPS", 2)
    found = drive(with_fault("pressure-line-off", "cuts-on-the-straight"), KNOWLEDGE)
    assert found.verdict == "no end"
    assert not found.cured


@pytest.mark.slow
def test_no_adjustment_is_too_big_or_too_early_by_the_events_alone() -> None:
    for number in range(80):
        found = drive(random_engine(f"early {number}", KNOWLEDGE), KNOWLEDGE)
        assert found.over_an_hour == 0
        assert found.before_first_look == 0


def test_the_count_of_early_and_big_adjustments_can_count() -> None:
    walk = begin(KNOWLEDGE, ev.Started(0.0, "", "revs-hang", "", Variant()))
    assert not_looked_for(walk) == KNOWLEDGE.first_owed("revs-hang", Variant())
    looked = walk.plus(ev.Answered(0.0, "hold-and-stream", "holds and streams"))
    assert not_looked_for(looked) < not_looked_for(walk)
    unhealthy = walk.plus(ev.Answered(0.0, "hold-and-stream", "bleeds away"))
    assert not_looked_for(unhealthy) == not_looked_for(walk)
    unsure = walk.plus(ev.Answered(0.0, "hold-and-stream", "holds and streams", sure=False))
    assert not_looked_for(unsure) == not_looked_for(walk)
    step = Step("adjust", "low needle", "leaner", "", "", turns=(Turn("low needle", "leaner", 1.5),))
    assert over_an_hour(step)
    assert not over_an_hour(msgspec.structs.replace(step, turns=(Turn("low needle", "leaner", 1.0),)))


def test_what_a_mend_has_closed_counts_as_looked_for_once_it_was_tried() -> None:
    started = ev.Started(0.0, KNOWLEDGE.digest, "overheats", "", Variant())
    mended = begin(KNOWLEDGE, started).plus(ev.Mended(60.0, "air-filter-torn"))
    assert KNOWLEDGE.faults["air-filter-torn"].mend.retest_tells
    assert not_looked_for(mended) == KNOWLEDGE.first_owed("overheats", Variant())
    tried = mended.plus(ev.Retested(120.0, "same"))
    assert not_looked_for(mended) - not_looked_for(tried) == {"air-filter-torn"}


def test_what_was_remembered_counts_as_looked_for_once_its_mend_was_tried() -> None:
    walk = begin(KNOWLEDGE, ev.Started(0.0, KNOWLEDGE.digest, "bogs-off-the-line", "", Variant()))
    told = walk.plus(ev.Answered(9.0, "second-gear", "slips"))
    for before, is_owed in ((walk, True), (told, False)):
        tried = before.plus(ev.Mended(60.0, "two-speed-off")).plus(ev.Retested(120.0, "same"))
        assert ("two-speed-off" in not_looked_for(tried)) is is_owed


def test_minutes_are_those_of_the_knowledge_with_the_changes_of_bench_state() -> None:
    engine = with_fault("plug-coil-broken", "spins-but-never-fires")
    hands = Hands(engine, scope(engine))
    hands.look("plug-out")
    bench, check = KNOWLEDGE.bench, KNOWLEDGE.checks["plug-out"]
    assert hands.minutes == bench["plug out"].into + check.minutes
    hands.look("plug-out")
    assert hands.minutes == bench["plug out"].into + 2 * check.minutes


def test_reading_and_a_hot_pipe_are_counted_where_it_is_measured() -> None:
    engine = with_fault("plug-coil-broken", "spins-but-never-fires")
    hands, check = Hands(engine, scope(engine), measured=True), KNOWLEDGE.checks["hold-and-stream"]
    assert hands.beside(check, "parked") == 0.25
    assert hands.beside(check, "warm") == 2.25
    assert hands.beside(KNOWLEDGE.checks["plug-out"], "warm") == 0.25
    assert Hands(engine, scope(engine)).beside(check, "warm") == 0
    quick = drive(engine, KNOWLEDGE)
    whole = drive(engine, KNOWLEDGE, hands=Hands(engine, scope(engine), measured=True))
    assert whole.minutes >= quick.minutes + 0.25 * 3
    assert whole.changes == quick.changes


def test_whoever_works_closes_the_car_up_before_the_engine_turns() -> None:
    engine = with_fault("plug-coil-broken", "spins-but-never-fires")
    hands = Hands(engine, scope(engine))
    hands.look("plug-out")
    opened = hands.minutes
    hands.warm()
    closing, warming = KNOWLEDGE.preparations["close-up"].minutes, KNOWLEDGE.preparations["bring-to-heat"].minutes
    assert hands.minutes == opened + KNOWLEDGE.bench["plug out"].out + closing + warming
    assert not hands.open


def test_a_re_test_says_what_the_engine_does() -> None:
    engine = with_fault("tank-lid-leaks", "cuts-on-the-straight")
    hands = Hands(engine, scope(engine))
    assert hands.retest() == "same"
    hands.turn({"high needle": 2.0})
    assert hands.retest() == "better"
    hands.turn({"high needle": -4.0})
    assert hands.retest() == "worse"
    hands.turn({"high needle": 2.0})
    hands.do_mend("tank-lid-leaks")
    assert hands.retest() == "cured"
    assert hands.changes[-1].helped


def test_an_engine_that_no_longer_starts_is_not_cured_of_how_it_ran() -> None:
    engine = with_fault("tank-lid-leaks", "cuts-on-the-straight")
    hands = Hands(engine, scope(engine))
    hands.engine = with_trouble(hands.engine, MadeWrong("plug-coil-broken", 0, 1.0))
    assert hands.retest() != "cured"


def test_a_starting_complaint_is_cured_only_when_it_starts() -> None:
    engine = with_fault("igniter-flat", "pops-but-will-not-catch", severity=0.4)
    hands = Hands(engine, scope(engine))
    hands.engine = with_trouble(hands.engine, MadeWrong("plug-coil-broken", 0, 1.0))  # now it never even fires
    assert hands.retest() != "cured"


def test_a_door_is_told_plainly_to_the_other_ways_of_working() -> None:
    engine = with_fault("plug-coil-broken", "will-not-start")
    assert plain_symptom(engine).complaint == "spins-but-never-fires"


@pytest.mark.parametrize("fault", ["pressure-line-off", "fins-packed", "brake-drags", "tank-lid-leaks"])
def test_the_all_knowing_mechanic_makes_one_look_the_guards_and_one_mend(fault: str) -> None:
    engine = with_fault(fault, "overheats")
    found = all_knowing(engine, KNOWLEDGE, scope(engine))
    assert found.cured
    assert [change.what for change in found.changes] == [fault]
    mend, retest = KNOWLEDGE.faults[fault].mend.minutes, KNOWLEDGE.symptoms["overheats"].retest.minutes
    guards = sum(check.minutes for check in KNOWLEDGE.checks.values() if check.guard)
    quickest = min(check.minutes for name, check in scope(engine).checks.items() if fault in scope(engine).clears(name))
    assert mend + retest + guards + quickest <= found.minutes <= mend + retest + guards + quickest + 4


def test_the_all_knowing_mechanic_makes_the_looks_owed_before_he_turns_a_needle() -> None:
    engine = msgspec.structs.replace(with_fault("low-needle-rich", "loads-up-at-idle", 0.2), recorded=False)
    found = all_knowing(engine, KNOWLEDGE, scope(engine))
    heat = KNOWLEDGE.preparations["bring-to-heat"].minutes
    assert found.minutes > heat + 10
    assert {change.kind for change in found.changes} == {"turn"}


def test_the_other_ways_of_working_cure_plain_faults_too() -> None:
    for way in (in_order, lambda e, k, s: in_order(e, k, s, Random("1")), needles_first):
        cured = sum(
            way(engine, KNOWLEDGE, scope(engine)).cured
            for seed in "abcdef"
            for engine in [with_fault("fuel-filter-blocked", "cuts-on-the-straight", 0.3, seed=seed)]
        )
        assert cured >= 4


def test_needles_first_turns_a_needle_before_anything_else() -> None:
    engine = with_fault("fuel-filter-blocked", "cuts-on-the-straight", 0.3)
    found = needles_first(engine, KNOWLEDGE, scope(engine))
    assert found.changes[0].kind == "turn"
    assert found.changes[0].mechanical
    assert found.minutes > drive(engine, KNOWLEDGE).minutes


def test_needles_first_believes_that_it_is_cured_when_the_complaint_is_gone() -> None:
    found = []
    for seed in "abcdefgh":
        engine = with_fault("tank-lid-leaks", "cuts-on-the-straight", 0.0, seed=seed)
        found.append(needles_first(engine, KNOWLEDGE, scope(engine)))
    hidden = [one for one in found if one.verdict == "cured" and not one.cured]
    assert hidden
    assert all(one.changes[-1].kind == "turn" for one in hidden)


def test_the_static_order_does_not_depend_on_the_engine() -> None:
    engine = with_fault("fuel-filter-blocked", "cuts-on-the-straight", 0.3)
    assert in_order(engine, KNOWLEDGE, scope(engine)) == in_order(engine, KNOWLEDGE, scope(engine))
