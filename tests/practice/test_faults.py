"""Every fault has its place in the engine, and a mend makes its parts sound again."""

from __future__ import annotations

import pytest
from msgspec.structs import asdict, replace
from shipped import load

from diagnose.graph.model import every_variant
from diagnose.practice import symptoms
from diagnose.practice.faults import broken, displaced, gone_back, mended, set_again
from diagnose.practice.parts import GAP, MID, SOUND, Screws, Weather, attribute
from diagnose.practice.showable import missing
from diagnose.practice.symptom_strengths import SHOWS
from diagnose.practice.symptoms import Circumstances, shown
from diagnose.tune.air import Air

KNOWLEDGE = load()
ROWS = KNOWLEDGE.simulated_faults


def test_every_fault_and_check_of_the_knowledge_has_a_row() -> None:
    assert not KNOWLEDGE.checks.keys() - KNOWLEDGE.simulated_checks.keys()
    assert not KNOWLEDGE.faults.keys() - ROWS.keys()
    assert not any(fault.acts_like for fault in KNOWLEDGE.faults.values())
    assert list(missing(KNOWLEDGE)) == []


def test_every_symptom_of_the_knowledge_can_be_shown() -> None:
    known = {*SHOWS, symptoms.ROUGH, symptoms.DOOR, symptoms.FIRST_START}
    assert set(KNOWLEDGE.symptoms) == known


@pytest.mark.parametrize("fault", sorted(ROWS))
def test_every_fault_shows_somehow_on_some_engine(fault: str) -> None:
    variants = list(every_variant())
    if fault in KNOWLEDGE.faults:
        variants = [variant for variant in variants if KNOWLEDGE.faults[fault].only.fits(variant)]
    found = set()
    for mode in range(len(ROWS[fault].modes)):
        parts, screws = broken(SOUND, Screws(), ROWS[fault], mode, 1.0)
        for variant in variants:
            found |= shown(Circumstances(parts, screws, Weather(), variant)).keys()
    assert found


@pytest.mark.parametrize("fault", sorted(ROWS))
def test_a_mend_makes_sound_again_what_the_fault_broke(fault: str) -> None:
    for mode, changes in enumerate(ROWS[fault].modes):
        parts, screws = broken(SOUND, Screws(), ROWS[fault], mode, 0.7)
        assert (parts, screws) != (SOUND, Screws())
        if displaced(ROWS[fault]):
            again = set_again(screws, ROWS[fault], Screws())
            assert all(abs(getattr(again, name) - getattr(Screws(), name)) <= 1 for name in ("high", "mid", "low"))
            assert again.gap == GAP
        else:
            healed = asdict(mended(parts, ROWS[fault]))
            for part in map(attribute, changes):
                assert healed[part] == asdict(SOUND)[part]


def test_a_mend_of_something_else_changes_nothing_that_is_wrong() -> None:
    parts, _ = broken(SOUND, Screws(), ROWS["pressure-line-off"], 0, 1)
    assert mended(parts, ROWS["tank-lid-leaks"]) == parts


def test_a_new_plug_mends_whatever_was_wrong_with_the_old_one() -> None:
    for fault in ("plug-coil-broken", "plug-wrong-grade", "plug-loose"):
        parts, _ = broken(SOUND, Screws(), ROWS[fault], 0, 1)
        assert mended(parts, ROWS["plug-tired"]) == SOUND


def test_going_back_sets_two_needles_an_hour_richer_than_the_record_and_the_rest_on_it() -> None:
    record = Screws(35, 24, 17, 0.95)
    assert gone_back(record, None, Weather()) == Screws(36, 24, 18, 0.95)
    assert set_again(Screws(30, 20, 30, 2), ROWS["mid-needle-off"], record) == Screws(30, MID, 30, 2)
    assert set_again(Screws(30, 20, 30, 2), ROWS["needle-moved"], record) == record


def test_going_back_follows_the_day_where_that_of_the_record_was_noted() -> None:
    record, then = Screws(35, 24, 17, 0.95), Weather(Air(20, 101_325, 0.5))
    assert gone_back(record, then, then) == record
    assert gone_back(record, then, Weather(Air(30, 101_325, 0.5))) == record  # never leaner than the record
    colder = gone_back(record, then, Weather(Air(5, 101_325, 0.5)))
    assert colder.high > record.high + 1
    assert colder.low > record.low


def test_the_screw_faults_of_the_knowledge_turn_screws_and_the_mechanical_ones_none() -> None:
    for name, fault in KNOWLEDGE.faults.items():
        assert bool(displaced(ROWS[name])) == (fault.kind == "screw"), name


@pytest.mark.parametrize(
    ("mend", "cause"),
    [
        ("flooded", "overfill"),
        ("dirt-in-jet", "specks"),
        ("fuel-filter-blocked", "specks"),
        ("tank-lid-leaks", "lid open"),
        ("clutch-springs-weak", "shoes turned"),
        ("dirt-in-jet", "tip"),
        ("needle-damaged", "jet blocked"),
    ],
)
def test_a_mend_puts_right_what_lies_open_before_it_too(mend: str, cause: str) -> None:
    assert getattr(mended(replace(SOUND, **{attribute(cause): 0.8}), ROWS[mend]), attribute(cause)) == 0
