"""A learner's way: worked, faded, alone; what was missed comes again soon, and no area follows itself."""

from __future__ import annotations

from itertools import pairwise

import pytest
from shipped import load

from diagnose.commands.printed import spoken
from diagnose.pages.debrief import best_looks, to_skip
from diagnose.pages.debrief import debrief as debrief_page
from diagnose.pages.parts import Page
from diagnose.pages.practice import bench
from diagnose.practice import happenings as hp
from diagnose.practice.debrief import debrief
from diagnose.practice.lesson import CURED
from diagnose.practice.way import (
    ALONE,
    OWN,
    SHORT,
    DonePractice,
    NextEngine,
    begin,
    example,
    family,
    level,
    next_engine,
)
from diagnose.practice.worked import advised

KNOWLEDGE = load()


def read_aloud(page: Page) -> str:
    return "\n".join(line for part in page for line in spoken(part))


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
    found = walked(10, 2, 5)
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
    assert OWN == ("end", "half", "all")


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


@pytest.mark.parametrize(
    "number", [0, 1, pytest.param(5, marks=pytest.mark.slow), pytest.param(6, marks=pytest.mark.slow)]
)
def test_the_last_steps_are_the_learners_first_and_then_more_of_them(number: int) -> None:
    made = walked(number + 1)[number]
    by_level = [begin(KNOWLEDGE, made._replace(level=level), "seed") for level in range(len(OWN))]
    for practice in by_level:
        assert practice.begun.shown == len(practice.lines)
        assert not practice.ended
        assert not any(line.put_right for line in practice.lines), "what puts it right is left to the learner"
    last, half, alone = (practice.begun.shown for practice in by_level)
    assert last > half >= alone == 0
    rest = advised(by_level[0])
    assert rest.lines[last].put_right, "the first of the own steps puts it right: all that shows it was seen"
    assert rest.ended == CURED
    assert debrief(rest).first_waste is None


@pytest.mark.slow
def test_an_engine_that_shows_how_is_short_and_leads_nobody_astray() -> None:
    for made in (one for one in walked(14) if one.level < ALONE and not one.lesson):
        whole = advised(begin(KNOWLEDGE, made, "seed"))
        assert whole.ended == CURED
        assert whole.minutes <= SHORT
        assert not any(line.in_vain for line in whole.lines)


def test_a_worked_example_is_worked_to_its_end_and_does_not_give_away_what_comes_next() -> None:
    made = walked(1)[0]
    worked = example(KNOWLEDGE, made, "seed")
    assert worked is not None
    assert worked.ended == CURED
    assert worked.begun.symptom == made.symptom
    [trouble] = worked.begun.troubles
    assert trouble.fault != made.fault
    assert KNOWLEDGE.faults[trouble.fault].area == made.family


def test_what_was_done_for_the_learner_is_told_with_its_reasons_and_costs_nothing() -> None:
    practice = begin(KNOWLEDGE, walked(2)[1], "seed")
    shown = practice.begun.shown
    read = read_aloud(bench(practice))
    assert f"The first {shown} steps are done for you" in read
    assert read.count("why:") == shown
    mended = practice.plus(hp.MendedPart("igniter-flat"))
    assert "done for you" not in read_aloud(bench(mended))
    assert [one.id for one in best_looks(practice)] == ["0"], "a look of the program's is not the learner's best"
    ended = mended.plus(hp.GaveUp())
    assert [one.id for one in to_skip(ended)] == [str(shown + 1), "0"]
    assert f"1-{shown}" in read_aloud(debrief_page(ended, debrief(ended)))


def test_what_the_knowledge_has_lost_does_not_stop_anybody() -> None:
    gone = came_to(walked(1)[0])._replace(faults=("no-more",))
    assert family(KNOWLEDGE, gone) == ""
    assert next_engine(KNOWLEDGE, [gone], "seed") is not None


@pytest.mark.slow
def test_every_family_is_come_to_although_not_each_has_an_engine_that_is_soon_done() -> None:
    found = walked(60)
    first = {one.family: one for one in reversed(found)}
    areas = {KNOWLEDGE.faults[fault].area for fault in KNOWLEDGE.simulated_faults}
    assert set(first) == areas
    for made in first.values():
        assert made.level == 0
        assert not begin(KNOWLEDGE, made, "seed").ended
        assert example(KNOWLEDGE, made, "seed") is not None, made.family
