"""A learner's way: worked, faded, alone; what was missed comes again soon, and no area follows itself."""

from __future__ import annotations

from itertools import pairwise

import pytest
from shipped import load

from diagnose.practice.lesson import CURED
from diagnose.practice.way import ALONE, SHARES, DonePractice, NextEngine, begin, example, family, level, next_engine

KNOWLEDGE = load()


def came_to(made: NextEngine, *, well: bool = True, worked: bool = False) -> DonePractice:
    earned = (made.fault,) if well else ()
    return DonePractice(made.symptom, (made.fault,), made.lesson, CURED, 10, 10, 0, 0, earned, worked=worked)


def walked(count: int, *wrong: int) -> list[NextEngine]:
    """Return the engines of a learner to whom all goes well but for those numbers."""
    done: list[DonePractice] = []
    found: list[NextEngine] = []
    for number in range(count):
        made = next_engine(KNOWLEDGE, done, "seed")
        assert made is not None
        found.append(made)
        done.append(came_to(made, well=number not in wrong))
    return found


def test_the_first_is_the_first_lesson_behind_a_worked_example() -> None:
    [made] = walked(1)
    assert (made.lesson, made.level, made.example, made.why) == (next(iter(KNOWLEDGE.lessons)), 0, True, "new")


def test_no_area_follows_itself() -> None:
    found = walked(16, 2, 5)
    assert all(one.family != after.family for one, after in pairwise(found))


def test_what_was_missed_comes_again_after_one_other_and_what_went_well_later() -> None:
    found = walked(6, 1)
    assert (found[3].family, found[3].why) == (found[1].family, "missed")
    assert found[3].fault != found[1].fault or found[3].lesson
    well = walked(6)
    gaps = [number for number, one in enumerate(well) if one.family == well[0].family]
    assert gaps[:2] == [0, 3]  # two others between, after one that went well


def test_steps_are_faded_out_and_come_back_after_a_miss() -> None:
    one = came_to(walked(1)[0])
    missed = one._replace(earned=())
    assert [level([one] * count) for count in range(4)] == [0, 1, ALONE, ALONE]
    assert level([one, one, missed]) == 1
    assert level([missed]) == 0
    assert list(SHARES) == sorted(SHARES, reverse=True)


@pytest.mark.parametrize("changed", [{"hazards": 1}, {"early": 2}, {"ended": "given up"}, {"earned": ()}])
def test_a_risk_an_early_turn_a_guess_and_giving_up_are_misses(changed: dict[str, object]) -> None:
    one = came_to(walked(1)[0])
    assert not one.missed
    assert one._replace(**changed).missed


def test_a_sister_fault_follows_a_hint_that_showed_the_step() -> None:
    first = walked(1)[0]
    made = next_engine(KNOWLEDGE, [came_to(first, worked=True)], "seed")
    assert made is not None
    assert (made.family, made.why) == (first.family, "sister")
    assert made.fault != first.fault


def test_first_steps_are_the_programs_and_an_example_is_worked_to_its_end() -> None:
    made = walked(1)[0]
    practice = begin(KNOWLEDGE, made, "seed")
    whole = begin(KNOWLEDGE, made._replace(level=ALONE), "seed")
    assert practice.begun.shown == len(practice.lines) > 0
    assert not practice.ended
    assert (whole.begun.shown, len(whole.lines)) == (0, 0)
    worked = example(KNOWLEDGE, made, "seed")
    assert worked.ended == CURED
    assert worked.begun.seed != practice.begun.seed


def test_what_the_knowledge_has_lost_does_not_stop_anybody() -> None:
    gone = came_to(walked(1)[0])._replace(faults=("no-more",))
    assert family(KNOWLEDGE, gone) == ""
    assert next_engine(KNOWLEDGE, [gone], "seed") is not None
