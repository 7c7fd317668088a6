"""Every fault has its place in the engine, and a mend makes its parts sound again."""

from __future__ import annotations

import pytest
from msgspec.structs import asdict

from diagnose.graph.load import load
from diagnose.graph.model import every_variant
from diagnose.practice import faults, symptoms
from diagnose.practice.faults import FAULTS, SCREWS, broken, gone_back, mended, missing, set_again
from diagnose.practice.parts import GAP, MID, SOUND, Day, Parts, Screws
from diagnose.practice.shows import SHOWS
from diagnose.practice.symptoms import State, shown

KNOWLEDGE = load()


def test_every_fault_of_the_knowledge_has_a_place_in_the_engine() -> None:
    assert missing(KNOWLEDGE.faults) == []


def test_no_row_stands_for_a_fault_that_is_no_more() -> None:
    assert FAULTS.keys() <= KNOWLEDGE.faults.keys()


def test_a_fault_without_a_place_is_named() -> None:
    assert missing(["plug-tired", "gremlins"]) == [
        "'gremlins' acts on no part of the simulated engine: give it a row in FAULTS"
    ]


def test_every_symptom_of_the_knowledge_can_be_shown() -> None:
    known = {*SHOWS, symptoms.ROUGH, symptoms.DOOR, symptoms.FIRST_START}
    assert set(KNOWLEDGE.symptoms) == known


@pytest.mark.parametrize("fault", sorted(FAULTS))
def test_every_fault_shows_somehow_on_some_engine(fault: str) -> None:
    variants = list(every_variant())
    if fault in KNOWLEDGE.faults:
        variants = [variant for variant in variants if KNOWLEDGE.faults[fault].only.fits(variant)]
    found = set()
    for mode in range(len(FAULTS[fault].modes)):
        parts, screws = broken(SOUND, Screws(), fault, mode, 1.0)
        for variant in variants:
            found |= shown(State(parts, screws, Day(), variant)).keys()
    assert found


@pytest.mark.parametrize("fault", sorted(FAULTS))
def test_a_mend_makes_sound_again_what_the_fault_broke(fault: str) -> None:
    for mode, changes in enumerate(FAULTS[fault].modes):
        parts, screws = broken(SOUND, Screws(), fault, mode, 0.7)
        assert (parts, screws) != (SOUND, Screws())
        if FAULTS[fault].screws:
            again = set_again(screws, fault, Screws())
            assert all(abs(getattr(again, name) - getattr(Screws(), name)) <= 1 for name in ("high", "mid", "low"))
            assert again.gap == GAP
        else:
            healed = asdict(mended(parts, fault))
            assert {part: healed[part] for part in changes if part not in ("level", "primed")} == {
                part: asdict(SOUND)[part] for part in changes if part not in ("level", "primed")
            }


def test_only_the_screws_of_a_needle_are_no_parts() -> None:
    named = {part for row in FAULTS.values() for mode in row.modes for part in mode}
    assert named <= {*asdict(Parts()), *SCREWS}


def test_a_mend_of_something_else_changes_nothing_that_is_wrong() -> None:
    parts, _ = broken(SOUND, Screws(), "pressure-line-off", 0, 1)
    assert mended(parts, "tank-lid-leaks") == parts


def test_a_new_plug_mends_whatever_was_wrong_with_the_old_one() -> None:
    for fault in ("plug-coil-broken", "plug-wrong-grade", "plug-loose"):
        parts, _ = broken(SOUND, Screws(), fault, 0, 1)
        assert mended(parts, "plug-tired") == SOUND


def test_going_back_sets_two_needles_an_hour_richer_than_the_record_and_the_rest_on_it() -> None:
    record = Screws(35, 24, 17, 0.95)
    assert gone_back(record) == Screws(36, 24, 18, 0.95)
    assert set_again(Screws(30, 20, 30, 2), "mid-needle-off", record) == Screws(30, MID, 30, 2)
    assert set_again(Screws(30, 20, 30, 2), "needle-moved", record) == gone_back(record)


def test_the_screw_faults_of_the_knowledge_turn_screws_and_the_mechanical_ones_none() -> None:
    for name, fault in KNOWLEDGE.faults.items():
        assert bool(faults.FAULTS[name].screws) == (fault.kind == "screw"), name
