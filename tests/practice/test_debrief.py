"""The debrief: each step beside the program's, the first waste, belief over time, and a score for looking."""

from __future__ import annotations

import pytest
from practice.learners import advised, guessing
from practice.test_lesson import KNOWLEDGE, begun, done, guarded

from diagnose.practice import happenings as hp
from diagnose.practice import setting
from diagnose.practice.debrief import debrief
from diagnose.practice.drive import drive
from diagnose.practice.lesson import CURED, Practice
from diagnose.practice.score import FOUND, LUCKY, score


def drawn(number: int, faults: int = 1) -> Practice:
    return Practice(KNOWLEDGE, [setting.drawn(KNOWLEDGE, f"debrief {number}", faults)])


def test_whoever_does_what_the_program_says_is_told_so_at_every_step() -> None:
    for number in range(12):
        found = debrief(advised(drawn(number)))
        assert [step.program for step in found.steps] == [""] * len(found.steps)
        assert found.first_waste is None


def test_the_programs_minutes_are_those_of_whoever_follows_it() -> None:
    alike = 0
    for number in range(12):
        practice = advised(drawn(number))
        found = debrief(practice)
        if not found.program_cured:
            continue
        assert found.score.points >= 90
        if any(isinstance(line.event, hp.SetBack) for line in practice.lines):
            # who practises sends all screws home at once, and so need not look at the marks of the others
            assert found.minutes <= found.program_minutes + 1e-6
        else:
            alike += 1
            assert found.minutes == pytest.approx(found.program_minutes)
    assert alike > 5


def test_the_program_is_never_much_quicker_than_a_mechanic_who_knows() -> None:
    found = [debrief(advised(drawn(number))) for number in range(12)]
    assert sum(one.best_minutes for one in found) < sum(one.program_minutes for one in found)


def test_belief_goes_to_what_was_wrong_as_it_is_seen() -> None:
    practice = done(begun("pressure-line-off", "cuts-on-the-straight"), hp.Looked("along-the-lines"))
    first, last = (
        debrief(practice).steps[0].belief,
        debrief(practice.plus(hp.Looked("hold-and-stream"))).steps[-1].belief,
    )
    assert first["pressure-line-off"] > practice.lines[0].before.standing.belief["pressure-line-off"]
    assert sum(last.values()) == pytest.approx(1)


def test_a_look_that_shows_nothing_likely_is_wasteful_and_says_why() -> None:
    practice = begun("pressure-line-off", "cuts-on-the-straight")
    useless = next(
        name
        for name, check in practice.scope.checks.items()
        if not check.runs
        and not practice.scope.clears(name) & practice.walk.standing.belief.keys()
        and not check.guard
        and not set(check.named()) & practice.walk.standing.belief.keys()
    )
    waste = debrief(practice.plus(hp.Looked(useless))).first_waste
    assert waste is not None
    assert waste.number == 1
    assert "nothing that is likely" in waste.remark
    assert waste.program


def test_a_slow_look_beside_a_quick_one_is_wasteful_and_both_are_named() -> None:
    practice = begun("pressure-line-off", "cuts-on-the-straight")
    practice = done(practice, hp.Looked("barrel-at-rest"), hp.Looked("fail-safe-closes"))
    for name in practice.scope.checks:
        step = debrief(practice.plus(hp.Looked(name))).steps[2]
        if "could show" in step.remark and "in what" not in step.remark:
            assert step.wasteful
            assert step.remark.count(" min.") == 2
            return
    raise AssertionError("no slow look was called one")


def test_looking_again_at_what_was_sound_is_wasteful() -> None:
    practice = begun("igniter-flat", "spins-but-never-fires")
    for name in practice.scope.checks:
        twice = done(practice, hp.Looked(name), hp.Looked(name))
        first = twice.lines[0]
        step = debrief(twice).steps[1]
        if first.answer and practice.scope.checks[name].answers[first.answer].healthy and step.program:
            assert step.wasteful
            assert "before" in step.remark or "nothing that is likely" in step.remark
            return
    raise AssertionError("nothing was sound")


def test_trying_again_after_nothing_was_done_is_wasteful() -> None:
    step = debrief(guarded(begun("fuel-filter-blocked", "cuts-on-the-straight")).plus(hp.Tried())).steps[-1]
    assert step.wasteful
    assert "Nothing had been done" in step.remark


def test_a_needle_turned_early_and_a_mend_by_guess_are_wasteful() -> None:
    practice = begun("pressure-line-off", "cuts-on-the-straight")
    early, guess = practice.plus(hp.TurnedScrew("high needle", 1)), practice.plus(hp.MendedPart("plug-tired"))
    assert "Too early" in debrief(early).steps[0].remark
    assert "nothing had shown it" in debrief(guess).steps[0].remark
    assert debrief(early).steps[0].wasteful
    assert debrief(guess).steps[0].wasteful


def test_a_hazard_is_the_first_thing_that_is_named() -> None:
    step = debrief(begun("fuel-filter-blocked", "cuts-on-the-straight").plus(hp.Tried())).steps[0]
    assert step.wasteful
    assert "guard" in step.remark


def test_the_debrief_of_nothing_has_no_steps() -> None:
    found = debrief(begun("pressure-line-off", "cuts-on-the-straight"))
    assert found.steps == ()
    assert found.first_waste is None
    assert found.score.points == 0
    assert found.left == ("pressure-line-off",)


def test_a_lucky_mend_is_worth_less_than_the_same_mend_after_a_look() -> None:
    practice = guarded(begun("pressure-line-off", "cuts-on-the-straight"))
    lucky = done(practice, hp.MendedPart("pressure-line-off"), hp.Tried())
    looked = done(practice, hp.Looked("along-the-lines"), hp.MendedPart("pressure-line-off"), hp.Tried())
    assert lucky.ended == looked.ended == CURED
    assert score(lucky, 10).lucky == ("pressure-line-off",)
    assert score(looked, 10).earned == ("pressure-line-off",)
    assert score(lucky, 10).points == round(FOUND * LUCKY)
    assert score(looked, 10).points > 4 * score(lucky, 10).points


@pytest.mark.slow
def test_guessing_gains_next_to_nothing_and_the_advice_nearly_all() -> None:
    """Over many engines: whoever mends the likeliest, once or many times, against whoever looks."""
    engines = [drawn(number) for number in range(40)]
    for tries in (1, 3, 8):
        assert sum(debrief(guessing(one, tries)).score.points for one in engines) / len(engines) < 5
    assert sum(debrief(advised(one)).score.points for one in engines) / len(engines) > 75


def test_doing_nothing_carefully_is_worth_nothing() -> None:
    assert debrief(begun("pressure-line-off", "cuts-on-the-straight").plus(hp.GaveUp())).score.points == 0


def test_seeing_it_and_stopping_is_worth_what_looking_is_worth() -> None:
    practice = done(begun("pressure-line-off", "cuts-on-the-straight"), hp.Looked("along-the-lines"), hp.GaveUp())
    found = debrief(practice)
    assert found.score.points == 20
    assert "It had been found" in found.steps[-1].remark or found.steps[-1].program


def test_every_hint_and_hazard_takes_points_off() -> None:
    practice = guarded(begun("pressure-line-off", "cuts-on-the-straight"))
    right = (hp.Looked("along-the-lines"), hp.MendedPart("pressure-line-off"), hp.Tried())
    plain = score(done(practice, *right), 20).points
    assert score(done(practice, hp.Hinted(1), *right), 20).points == plain - 5
    assert score(done(practice, hp.Hinted(1), hp.Hinted(3), *right), 20).points == plain - 20
    unguarded = done(begun("pressure-line-off", "cuts-on-the-straight"), *right)
    assert score(unguarded, 20).points < plain


def test_stopping_where_the_program_hands_over_is_honest() -> None:
    for number in range(60):
        practice = drawn(number)
        if not drive(practice.hands.engine, KNOWLEDGE, practice.scope).cured:
            stopped = advised(practice)
            if stopped.ended != CURED and not any(line.in_vain for line in stopped.lines):
                assert debrief(stopped).score.points == 20
                return
    raise AssertionError("the program cured everything")
