"""The class: one engine for all seats, what a look tells, and what the sheet counts."""

from __future__ import annotations

import pytest
from practice.learners import advised
from shipped import load

from diagnose.errors import DiagnoseError
from diagnose.practice import explain, setting
from diagnose.practice import happenings as hp
from diagnose.practice.class_set import LEVELS, SOON, ClassWish, to_level, together
from diagnose.practice.debrief import debrief
from diagnose.practice.engine import sound_engine
from diagnose.practice.group import group_sheet
from diagnose.practice.lesson import TURNED, Practice
from diagnose.practice.ours import by_program
from diagnose.practice.symptoms import NEVER_SET

KNOWLEDGE = load()
WISH = ClassWish("cuts-on-the-straight", {"pressure-line-off": 0.8}, "saturday")


def at(wish: ClassWish = WISH) -> Practice:
    return Practice(KNOWLEDGE, [together(KNOWLEDGE, wish)])


def done(practice: Practice, *events: hp.PracticeEvent) -> Practice:
    for event in events:
        practice = practice.plus(event)
    return practice


def test_the_same_seed_is_the_same_engine_for_every_seat_and_another_seed_another() -> None:
    assert together(KNOWLEDGE, WISH) == together(KNOWLEDGE, WISH)
    assert together(KNOWLEDGE, WISH) != together(KNOWLEDGE, ClassWish(WISH.symptom, WISH.faults, "sunday"))
    seen = [done(at(), hp.Looked("barrel-at-rest"), hp.Looked("along-the-lines")).lines[-1].answer for _ in "ab"]
    assert seen[0] == seen[1]


def test_severity_needles_off_and_the_owners_words_are_as_the_mentor_wished() -> None:
    wish = ClassWish(WISH.symptom, WISH.faults, "x", "It was fine last week.", {"high needle": 2})
    practice = at(wish)
    assert practice.begun.troubles[0].severity == 0.8
    assert practice.story()[-2:] == (TURNED, "It was fine last week.")
    sound = setting.engine(setting.replace(practice.begun, turned=()), KNOWLEDGE)
    assert practice.hands.engine.off_record("high needle") == pytest.approx(sound.off_record("high needle") + 2)
    assert practice.begun.recorded  # somebody has to be able to go back


@pytest.mark.parametrize(
    ("wish", "told"),
    [
        (ClassWish("cuts-on-the-strait", {"pressure-line-off": None}, "x"), "did you mean 'cuts-on-the-straight'"),
        (ClassWish("cuts-on-the-straight", {"pressure-line-of": None}, "x"), "did you mean 'pressure-line-off'"),
        (ClassWish("cuts-on-the-straight", {}, "x"), "hide one fault"),
        (ClassWish("cuts-on-the-straight", dict.fromkeys(["a", "b"]), "x"), "there is no fault 'a'"),
        (ClassWish("cuts-on-the-straight", {"pressure-line-off": 1.5}, "x"), "a little over 0 to 1"),
        (ClassWish("cuts-on-the-straight", {"pressure-line-off": None}, "x", "a\nb"), "one line"),
        (ClassWish("cuts-on-the-straight", {"pressure-line-off": None}, "x", "", {"high needle": 9}), "up to 6 hours"),
        (ClassWish("cuts-on-the-straight", {"igniter-flat": None}, "x"), "choose another symptom"),
    ],
)
def test_what_cannot_be_set_is_refused_with_what_to_do(wish: ClassWish, told: str) -> None:
    with pytest.raises(DiagnoseError, match=told):
        together(KNOWLEDGE, wish)


@pytest.mark.parametrize("level", LEVELS)
def test_an_engine_of_a_level_is_one_by_the_minutes_of_the_program(level: int) -> None:
    begun = to_level(KNOWLEDGE, level, "five")
    engine, found = setting.engine(begun, KNOWLEDGE), by_program(KNOWLEDGE, begun)
    assert found.cured
    assert engine.strength(begun.symptom) >= 1
    assert len(begun.troubles) == (2 if level == 3 else 1)
    assert bool(begun.turned) == (level == 3)
    assert level == 3 or (found.minutes <= SOON) == (level == 1)
    assert to_level(KNOWLEDGE, level, "five") == begun


def test_there_is_no_level_four() -> None:
    with pytest.raises(DiagnoseError, match="it is 1, 2, 3"):
        to_level(KNOWLEDGE, 4, "x")


def test_a_look_is_explained_once_and_by_what_it_can_show() -> None:
    practice = at().plus(hp.Looked("along-the-lines"))
    assert explain.SOUND in explain.choices(practice)
    with pytest.raises(DiagnoseError, match="there is no explanation"):
        practice.plus(hp.MadeOfIt("nowhere"))
    explained = practice.plus(hp.MadeOfIt("tank pressure"))
    with pytest.raises(DiagnoseError, match="no look to explain"):
        explained.plus(hp.MadeOfIt("tank pressure"))
    assert len(explained.lines) == 1  # it takes no time, and nothing is done to the engine by it
    assert explained.minutes == practice.minutes


def test_an_explanation_fits_by_what_was_seen() -> None:
    practice = done(at(), hp.Looked("barrel-at-rest"), hp.MadeOfIt(explain.SOUND))
    practice = done(practice, hp.Looked("along-the-lines"), hp.MadeOfIt("tank pressure"))
    healthy, shown = explain.looks(practice)
    assert explain.fits(practice.scope, healthy)
    assert not explain.fits(practice.scope, healthy._replace(about="linkage"))
    assert explain.fits(practice.scope, shown)
    assert not explain.fits(practice.scope, shown._replace(about=explain.SOUND))


def test_the_sheet_says_who_skipped_a_guard_and_turned_too_early_and_what_nobody_found() -> None:
    careless = done(at(), hp.Ran(), hp.TurnedScrew("high needle", 1), hp.GaveUp())
    looking = done(at(), hp.GaveUp())
    sheet = group_sheet(KNOWLEDGE, careless.begun, [("kim", careless), ("ben", looking)])
    kim, ben = sheet.rows
    assert set(kim.skipped) == set(careless.scope.guards)
    assert [turn.number for turn in kim.early] == [2]
    assert (ben.skipped, ben.early) == ((), ())
    assert sheet.nobody == ("pressure-line-off",)
    found = advised(at())
    again = group_sheet(KNOWLEDGE, careless.begun, [("kim", careless), ("ana", found)])
    assert again.nobody == ()
    assert again.rows[1].earned == ("pressure-line-off",)
    assert again.program_minutes == pytest.approx(found.minutes, abs=0.5)


@pytest.mark.parametrize("seed", ["saturday", "sunday", "monday"])
def test_the_program_is_told_by_the_owner_what_the_learner_is_told(seed: str) -> None:
    """Or who does all that the program says would be slower than the program, or quicker."""
    wish = ClassWish(WISH.symptom, WISH.faults, seed)
    ours = by_program(KNOWLEDGE, at(wish).begun)
    assert ours.cured
    assert debrief(advised(at(wish))).program_minutes == ours.minutes
    assert advised(at(wish)).minutes == pytest.approx(ours.minutes, abs=0.5)


def test_expected_is_counted_against_seen() -> None:
    answers = KNOWLEDGE.checks["barrel-at-rest"]
    other = next(key for key in answers.answers if key != answers.healthy)
    practice = done(at(), hp.Looked("barrel-at-rest", other), hp.Looked("fail-safe-closes"), hp.GaveUp())
    [row] = group_sheet(KNOWLEDGE, practice.begun, [("kim", practice)]).rows
    assert (row.looks, row.predicted, row.as_expected) == (2, 1, 0)
    assert [(one.check, one.expected, one.seen) for one in row.missed] == [("barrel-at-rest", other, answers.healthy)]


def test_while_nobody_has_ended_nothing_is_held_against_anybody() -> None:
    assert group_sheet(KNOWLEDGE, at().begun, [("kim", at())]).nobody == ()


@pytest.mark.parametrize("symptom", NEVER_SET)
def test_what_no_engine_that_is_set_can_show_is_refused_before_one_is_drawn(
    monkeypatch: pytest.MonkeyPatch, symptom: str
) -> None:
    monkeypatch.setattr(setting, "sound_engine", None)
    with pytest.raises(DiagnoseError, match="choose another symptom"):
        setting.hidden(KNOWLEDGE, symptom, "air-filter-dirty", "x")


def test_an_engine_that_is_refused_was_drawn_once_for_each_try(monkeypatch: pytest.MonkeyPatch) -> None:
    """A sound engine is most of the time that a refusal takes."""
    drawn: list[str] = []
    monkeypatch.setattr(setting, "sound_engine", lambda seed, known: drawn.append(seed) or sound_engine(seed, known))
    with pytest.raises(DiagnoseError, match="choose another symptom"):
        setting.hidden(KNOWLEDGE, "cuts-on-the-straight", "igniter-flat", "x", draws=20)
    assert drawn == [f"x {number}" for number in range(20)]
