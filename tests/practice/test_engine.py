"""A simulated engine as a value: the same seed is the same engine, and hands change what they touch."""

from __future__ import annotations

from random import Random

import msgspec
import pytest
from shipped import load

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge
from diagnose.practice.engine import (
    NEEDLES,
    MadeWrong,
    SimEngine,
    detuned_engine,
    drawn_trouble,
    random_engine,
    sound_engine,
    with_trouble,
)
from diagnose.practice.parts import Screws
from diagnose.practice.symptoms import shown

KNOWLEDGE = load()


def with_fault(fault: str, severity: float = 0.7, mode: int = 0) -> SimEngine:
    return with_trouble(sound_engine(fault, KNOWLEDGE), MadeWrong(fault, mode, severity))


def test_the_same_seed_is_the_same_engine() -> None:
    assert random_engine("7", KNOWLEDGE) == random_engine("7", KNOWLEDGE)
    assert random_engine("7", KNOWLEDGE) != random_engine("8", KNOWLEDGE)
    assert detuned_engine("7", KNOWLEDGE, recorded=True) == detuned_engine("7", KNOWLEDGE, recorded=True)


def test_a_fault_is_drawn_in_its_forms_by_their_shares() -> None:
    engine, rng = sound_engine("forms", KNOWLEDGE), Random("forms")
    row, forms = KNOWLEDGE.simulated_faults["pressure-line-off"], KNOWLEDGE.faults["pressure-line-off"].forms
    drawn = [row.forms[drawn_trouble(engine, "pressure-line-off", rng).mode] for _ in range(3000)]
    for name, form in forms.items():
        assert drawn.count(name) / len(drawn) == pytest.approx(form.share, abs=0.04)


def test_every_engine_drawn_shows_what_its_owner_reports() -> None:
    for number in range(150):
        engine = random_engine(f"shows {number}", KNOWLEDGE)
        assert len(engine.troubles) == 1
        assert engine.complaint in shown(engine.state)
        assert engine.complaint in KNOWLEDGE.symptoms


def test_an_engine_has_only_faults_that_its_kind_can_have() -> None:
    for number in range(300):
        engine = random_engine(f"kind {number}", KNOWLEDGE)
        assert KNOWLEDGE.faults[engine.troubles[0].fault].only.fits(engine.variant)


def test_two_faults_are_two_different_ones() -> None:
    for number in range(60):
        engine = random_engine(f"two {number}", KNOWLEDGE, 2)
        assert len({trouble.fault for trouble in engine.troubles}) == 2


def test_a_detuned_engine_is_sound_but_for_its_needles_within_six_hours() -> None:
    for number in range(40):
        engine = detuned_engine(f"detuned {number}", KNOWLEDGE, recorded=True)
        assert engine.troubles == ()
        assert engine.parts == sound_engine("any", KNOWLEDGE).parts
        for screw in NEEDLES[engine.variant.needles]:
            assert abs(engine.off_record(screw)) <= 6.0001


def test_knowledge_with_nothing_to_show_is_refused_and_does_not_hang() -> None:
    empty = msgspec.structs.replace(KNOWLEDGE, faults={})
    with pytest.raises(DiagnoseError, match="no engine can be drawn"):
        random_engine("1", empty)
    with pytest.raises(DiagnoseError, match="no engine can be drawn"):
        detuned_engine("1", Knowledge(), recorded=True)


def test_a_mend_of_the_fault_ends_it_and_another_does_not() -> None:
    engine = with_fault("tank-lid-leaks")
    trouble = engine.troubles[0]
    assert engine.still_wrong(trouble)
    assert engine.mended("pressure-line-off", KNOWLEDGE.faults["pressure-line-off"]).still_wrong(trouble)
    assert not engine.mended("tank-lid-leaks", KNOWLEDGE.faults["tank-lid-leaks"]).still_wrong(trouble)


def test_an_empty_tank_is_filled_by_its_mend() -> None:
    engine = with_fault("fuel-not-reaching", mode=1)
    after = engine.mended("fuel-not-reaching", KNOWLEDGE.faults["fuel-not-reaching"])
    assert not after.still_wrong(engine.troubles[0])
    assert after.parts.level == 0.5
    assert shown(after.state) == {}


def test_a_lean_needle_is_wrong_until_it_is_within_an_hour_of_right() -> None:
    engine = with_fault("low-needle-lean", severity=0.5)
    trouble = engine.troubles[0]
    richer = engine
    for _ in range(3):
        assert richer.still_wrong(trouble)
        richer = richer.turned({"low needle": 1.0})
    assert not richer.turned({"low needle": 1.0}).still_wrong(trouble)


def test_going_back_sets_the_needles_within_an_hour_of_the_record() -> None:
    engine = detuned_engine("back", KNOWLEDGE, recorded=True).gone_back()
    assert all(abs(engine.off_record(screw)) <= 1.0001 for screw in NEEDLES[engine.variant.needles])
    assert not engine.dangerously_lean()


def test_a_head_that_stays_cool_on_the_stand_is_driven_a_few_calm_laps() -> None:
    engine = with_fault("over-cooled", severity=1.0)
    floor = KNOWLEDGE.number("head-floor", engine.variant)
    running, read = engine.seen().running, engine.head(0)
    assert read is not None
    assert running.stand < floor
    assert read > running.stand + 3
    assert read < running.race


def test_every_second_record_has_the_day_that_it_belongs_to() -> None:
    noted = [sound_engine(f"noted {number}", KNOWLEDGE).then is not None for number in range(100)]
    assert 35 < sum(noted) < 65


def test_lean_is_measured_against_what_is_right_today() -> None:
    engine = sound_engine("today", KNOWLEDGE)
    assert not engine.dangerously_lean()
    assert engine.turned({"high needle": -3.0}).dangerously_lean()
    assert engine.turned({"high needle": -3.0}).leaner_than_right()["low needle"] < 1


def test_turning_the_stop_is_counted_in_hours() -> None:
    engine = sound_engine("stop", KNOWLEDGE).turned({"idle stop": 6.0})
    assert engine.off_record("idle stop") == pytest.approx(6.0)
    assert engine.screws.gap == pytest.approx(sound_engine("stop", KNOWLEDGE).screws.gap + 0.25)


def test_a_thermometer_that_misreads_is_read_as_it_shows() -> None:
    engine = with_fault("thermometer-misreads", severity=1.0)
    read, true = engine.head(0), engine.seen().running.stand
    assert read is not None
    assert read > true + 15


def test_an_unknown_fault_of_an_overlay_is_mended_without_effect() -> None:
    engine = with_fault("tank-lid-leaks")
    assert engine.mended("gremlins", KNOWLEDGE.faults["tank-lid-leaks"]) == engine


def test_screws_hold_where_they_are_put() -> None:
    assert Screws(30, 20, 15, 1).turned("high needle", 2) == Screws(32, 20, 15, 1)
    assert Screws(30, 20, 15, 1).turned("mid needle", -2) == Screws(30, 18, 15, 1)
