"""A search finds what drivers mean, whatever words they have for it."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from shipped import load

from diagnose.graph.seek import Seeker, Sought, could_be, seeker

PHRASES: dict[str, list[str]] = yaml.safe_load((Path(__file__).parent / "phrases.yaml").read_text("utf-8"))
"""Phrases of drivers, with the symptoms that fit; they are not among those of the files word for word."""


DRIVERS_SAY: dict[str, dict[str, list[str]]] = yaml.safe_load(
    (Path(__file__).parent / "drivers_say.yaml").read_text("utf-8")
)
"""More of them in six lists. Their file says which words had been read when each was written, and what was found."""


def found(typed: str, most: int = 3) -> list[str]:
    return [one.id for one in seeker(load(), "symptoms").find(typed, most)]


def test_nine_in_ten_phrases_of_drivers_find_a_fitting_symptom_among_the_first_three() -> None:
    finder = seeker(load(), "symptoms")
    missed = [
        typed for typed, fitting in PHRASES.items() if not {one.id for one in finder.find(typed, 3)} & set(fitting)
    ]
    assert len(missed) <= len(PHRASES) / 10, missed


@pytest.mark.parametrize(
    ("when", "least"),
    [("before", 123), ("strange", 79), ("after", 88), ("bench", 121), ("sealed", 58), ("odd", 49)],
)
def test_phrases_written_apart_from_the_words_find_as_many_as_when_they_were_measured(when: str, least: int) -> None:
    said = DRIVERS_SAY[when]
    assert set().union(*said.values()) <= load().symptoms.keys()
    missed = [typed for typed, fitting in said.items() if not set(found(typed)) & set(fitting)]
    assert len(said) - len(missed) >= least, missed


@pytest.mark.parametrize(
    ("typed", "fits"),
    [
        ("fouls glowplugs every other run", "eats-plugs"),
        ("gets richer the longer it idles", "loads-up-at-idle"),
        ("screaches", "makes-a-noise"),
        ("starts then dies straight away", "dies-within-a-minute"),
        ("my mate says the temp gun shows 290", "overheats"),
    ],
)
def test_words_joined_compared_or_beside_the_point_are_understood(typed: str, fits: str) -> None:
    assert fits in found(typed)


def test_the_phrases_name_symptoms_that_there_are() -> None:
    assert {one for fitting in PHRASES.values() for one in fitting} <= load().symptoms.keys()


def test_what_people_say_for_a_symptom_finds_it_first_or_second() -> None:
    finder = seeker(load(), "symptoms")
    lost = [
        (name, said)
        for name, symptom in load().symptoms.items()
        for said in symptom.people_say
        if name not in {one.id for one in finder.find(said, 3)}
    ]
    assert lost == []


@pytest.mark.parametrize(
    ("typed", "fits"),
    [
        ("bottom the off bogs", "bogs-off-the-line"),
        ("idle hang", "revs-hang"),
        ("overhea", "overheats"),
        ("ovreheats", "overheats"),
        ("the temperature climbs", "overheats"),
        ("flame outs at random", "stops-at-random"),
        ("RUNS HOT!", "overheats"),
        ("won’t hold a tune", "tune-will-not-hold"),
    ],
)
def test_order_endings_beginnings_slips_and_signs_do_not_matter(typed: str, fits: str) -> None:
    assert found(typed)[0] == fits


@pytest.mark.parametrize("typed", ["", "  ", "!?", "zzzzzz", "🙂"])
def test_what_says_nothing_finds_nothing(typed: str) -> None:
    assert found(typed) == []


def test_a_longer_text_is_searched_as_well() -> None:
    assert found("it pulls away fine but halfway down the straight it goes silent and the head is hot") != []


def test_a_word_that_few_entries_have_counts_for_more_than_one_that_many_have() -> None:
    entries = {"a": [("the clutch slips", 1.0)], "b": [("the car stops", 1.0)], "c": [("the car turns", 1.0)]}
    assert Seeker(entries, {}).find("car clutch")[0].id == "a"


def test_checks_faults_and_words_are_found_too() -> None:
    assert seeker(load(), "checks").find("spare plug igniter")[0].id == "igniter-on-spare-plug"
    assert "carburettor" in [one.id for one in seeker(load(), "words").find("carb", 3)]
    assert seeker(load(), "faults").find("flat igniter")[0].id == "igniter-flat"


@pytest.mark.parametrize(
    ("kind", "typed", "fits"),
    [
        ("checks", "compression check", "one-squeeze"),
        ("checks", "change the plug", "new-plug"),
        ("checks", "count the turns", "needle-count"),
        ("checks", "squish", "squish-measure"),
        ("checks", "clunk test", "pick-up-tilt"),
        ("faults", "no compression", "piston-worn"),
        ("faults", "stripped spur", "gear-teeth-stripped"),
        ("faults", "too lean on top", "high-needle-lean"),
        ("faults", "vacuum leak at the carb", "carburettor-base-leak"),
        ("faults", "failsafe", "fail-safe-wrong"),
        ("words", "wrench", "spanner"),
        ("words", "hsn", "high needle"),
        ("words", "tdc", "top dead centre"),
        ("words", "antenna", "aerial"),
    ],
)
def test_what_a_racer_looks_up_is_found(kind: Sought, typed: str, fits: str) -> None:
    assert fits in [one.id for one in seeker(load(), kind).find(typed, 3)]


@pytest.mark.parametrize("kind", ["checks", "faults"])
def test_every_check_and_fault_is_found_by_what_people_say_for_it(kind: Sought) -> None:
    finder = seeker(load(), kind)
    entries = getattr(load(), kind)
    assert [name for name, entry in entries.items() if not entry.people_say] == []
    lost = [
        (name, said)
        for name, entry in entries.items()
        for said in entry.people_say
        if name not in {one.id for one in finder.find(said, 5)}
    ]
    assert lost == []


@pytest.mark.parametrize(
    ("typed", "hint"),
    [
        ("bog", "did you mean 'bogs-off-the-line'"),
        ("bogs-of-the-line", "; did you mean 'bogs-off-the-line'"),
        ("flames out", "did you mean 'stops-at-random'"),
        ("xyzzy", ""),
    ],
)
def test_an_unknown_symptom_is_answered_with_what_its_words_find(typed: str, hint: str) -> None:
    said = could_be(typed, load(), "symptoms")
    assert hint in said
    assert bool(said) == bool(hint)
