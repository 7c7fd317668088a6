"""A practice as a fold: what the learner may do, what is told, what is dangerous, and how it ends."""

from __future__ import annotations

import re
from random import Random

import msgspec
import pytest
from shipped import load

from diagnose.errors import DiagnoseError
from diagnose.practice import happenings as hp
from diagnose.practice import setting
from diagnose.practice.engine import MadeWrong
from diagnose.practice.feedback import screws
from diagnose.practice.lesson import CURED, GIVEN_UP, Practice
from diagnose.practice.worked import advised

KNOWLEDGE = load()


def begun(fault: str, symptom: str, seed: str = "two") -> Practice:
    return Practice(KNOWLEDGE, [setting.hidden(KNOWLEDGE, symptom, fault, seed)])


def done(practice: Practice, *events: hp.PracticeEvent) -> Practice:
    for event in events:
        practice = practice.plus(event)
    return practice


def guarded(practice: Practice) -> Practice:
    return done(practice, *(hp.Looked(guard) for guard in practice.scope.guards))


def test_a_hidden_fault_shows_the_symptom_that_was_chosen() -> None:
    for seed in "abcdef":
        practice = begun("pressure-line-off", "cuts-on-the-straight", seed)
        assert practice.hands.engine.strength("cuts-on-the-straight") >= 1
        assert practice.hands.wrong() == ["pressure-line-off"]


def test_a_fault_that_never_shows_that_symptom_is_refused_kindly() -> None:
    with pytest.raises(DiagnoseError, match="choose another symptom for it: ") as told:
        begun("igniter-flat", "cuts-on-the-straight")
    named = re.findall(r"'([^']+)' \(([\w-]+)\)", str(told.value))
    assert named
    for name, instead in named:
        assert name == KNOWLEDGE.symptoms[instead].name, "a screen is searched by the name, a command takes the id"
        assert begun("igniter-flat", instead).hands.engine.strength(instead) >= 1


def test_a_symptom_of_a_clubs_own_is_told_to_be_none_of_the_simulated_engines() -> None:
    known = KNOWLEDGE
    own = msgspec.structs.replace(known.symptoms["overheats"], name="slow on the hill")
    club = msgspec.structs.replace(known, symptoms={**known.symptoms, "slow-on-the-hill": own})
    with pytest.raises(DiagnoseError, match="knows the shipped symptoms, and not 'slow on the hill'; choose another"):
        setting.hidden(club, "slow-on-the-hill", "pressure-line-off", "1")


def test_unknown_names_get_the_nearest_one() -> None:
    with pytest.raises(DiagnoseError, match="pressure-line-off"):
        begun("presure-line-off", "revs-hang")
    with pytest.raises(DiagnoseError, match="revs-hang"):
        begun("pressure-line-off", "revs-hangs")
    practice = begun("pressure-line-off", "cuts-on-the-straight")
    with pytest.raises(DiagnoseError, match="along-the-lines"):
        practice.plus(hp.Looked("along-the-line"))


def test_the_same_events_come_to_the_same_practice() -> None:
    events = [hp.Looked("along-the-lines"), hp.Ran(), hp.TurnedScrew("high needle", 1), hp.Tried()]
    one, other = (done(begun("pressure-line-off", "cuts-on-the-straight"), *events) for _ in range(2))
    assert [line._replace(before=None) for line in one.lines] == [line._replace(before=None) for line in other.lines]
    assert one.minutes == other.minutes


def test_the_right_mend_and_a_try_end_it() -> None:
    practice = guarded(begun("pressure-line-off", "cuts-on-the-straight"))
    practice = done(practice, hp.MendedPart("pressure-line-off"))
    assert practice.lines[-1].put_right == ("pressure-line-off",)
    assert not practice.ended
    practice = practice.plus(hp.Tried())
    assert practice.ended == CURED
    with pytest.raises(DiagnoseError, match="ended"):
        practice.plus(hp.Tried())


def test_a_mend_of_something_sound_is_in_vain_and_is_not_told() -> None:
    practice = done(begun("pressure-line-off", "cuts-on-the-straight"), hp.MendedPart("plug-tired"))
    assert practice.lines[-1].in_vain
    assert "in vain" not in " ".join(practice.lines[-1].told)


def test_minutes_count_the_change_of_bench_state() -> None:
    practice = begun("pressure-line-off", "cuts-on-the-straight")
    scope = practice.scope
    look = next(name for name, check in scope.checks.items() if check.state == "plug out")
    after = practice.plus(hp.Looked(look))
    into = KNOWLEDGE.bench["plug out"].into + KNOWLEDGE.bench["parked"].out
    assert after.minutes - practice.minutes == pytest.approx(float(scope.checks[look].minutes) + float(into))


def test_running_before_the_guards_is_told_at_once_and_after_them_it_is_not() -> None:
    practice = begun("fuel-filter-blocked", "cuts-on-the-straight")
    assert len(practice.plus(hp.Ran()).lines[-1].hazards) == len(practice.scope.guards) == 2
    assert guarded(practice).plus(hp.Ran()).lines[-1].hazards == ()


def test_running_with_a_throttle_that_is_held_open_says_what_could_have_happened() -> None:
    practice = begun("barrel-held-open", "idles-too-high")
    told = " ".join(practice.plus(hp.Tried()).lines[-1].hazards)
    assert "could have run away" in told


def test_running_with_a_grounding_finding_is_told() -> None:
    for seed in map(str, range(20)):
        practice = guarded(begun("barrel-held-open", "idles-too-high", seed))
        if practice.walk.state.grounded():
            told = practice.plus(hp.Ran()).lines[-1].hazards
            assert any("although this was found" in one for one in told)
            return
    raise AssertionError("no guard ever showed the barrel")


def test_fuel_that_leaks_onto_a_running_engine_is_told() -> None:
    found = 0
    for seed in map(str, range(10)):
        drawn = setting.hidden(KNOWLEDGE, "fuel-comes-out", "tank-cracked", seed)
        practice = guarded(Practice(KNOWLEDGE, [drawn]))
        found += any("Fuel leaks" in one for one in practice.plus(hp.Ran()).lines[-1].hazards)
    assert found


def test_a_needle_turned_too_early_is_turned_and_shown_for_what_it_does() -> None:
    practice = begun("pressure-line-off", "cuts-on-the-straight").plus(hp.TurnedScrew("high needle", 2))
    line = practice.lines[-1]
    assert any("not looked for yet" in one for one in line.early)
    assert any("one hour at most" in one for one in line.early)
    assert any("cooler" in one or "idle" in one for one in line.told)
    assert practice.hands.engine.off_record("high needle") == pytest.approx(2)


def test_taking_back_ones_own_turn_is_never_too_early() -> None:
    practice = done(begun("fuel-filter-blocked", "cuts-on-the-straight"), hp.TurnedScrew("high needle", 2))
    back = practice.plus(hp.TurnedScrew("high needle", -1)).plus(hp.TurnedScrew("high needle", -1))
    assert practice.lines[-1].early
    assert [line.early for line in back.lines[1:]] == [(), ()]
    assert back.walk.state.turned.get("high needle", 0.0) == pytest.approx(0)
    assert back.hands.engine.off_record("high needle") == pytest.approx(0)
    assert back.plus(hp.TurnedScrew("high needle", -1)).lines[-1].early


def test_leaning_a_needle_far_is_a_danger() -> None:
    practice = begun("pressure-line-off", "cuts-on-the-straight").plus(hp.TurnedScrew("high needle", -5))
    assert any("Lean burns a piston" in one for one in practice.lines[-1].hazards)


def test_a_needle_that_hides_the_fault_does_not_end_it() -> None:
    hidden = 0
    for seed in map(str, range(30)):
        practice = guarded(begun("exhaust-nipple-clogged", "revs-hang", seed))
        practice = done(practice, hp.TurnedScrew("high needle", 6), hp.Tried())
        if practice.lines[-1].outcome == "hidden":
            hidden += 1
            assert not practice.ended
            assert practice.complaint == "revs-hang"
            assert done(practice, hp.MendedPart("exhaust-nipple-clogged")).hands.wrong() == []
    assert hidden


def test_after_the_first_of_two_faults_the_owner_says_something_else() -> None:
    for seed in map(str, range(60)):
        practice = guarded(Practice(KNOWLEDGE, [setting.drawn(KNOWLEDGE, f"two {seed}", 2)]))
        for trouble in practice.begun.troubles:
            if practice.ended or KNOWLEDGE.faults[trouble.fault].turned:
                continue
            before = practice.complaint
            practice = done(practice, hp.MendedPart(trouble.fault), hp.Tried())
            if practice.complaint != before:
                assert practice.walk.symptom == practice.complaint
                assert not practice.ended
                return
    raise AssertionError("nobody ever complained again")


def test_hints_grow_in_strength_and_the_third_says_what_is_seen() -> None:
    practice = begun("pressure-line-off", "cuts-on-the-straight")
    area, check, shows = (practice.plus(hp.Hinted(strength)).lines[-1].told for strength in (1, 2, 3))
    assert KNOWLEDGE.faults["pressure-line-off"].area in area[0]
    assert check[0].startswith("Make this check")
    assert shows[0] == check[0]
    assert "shows" in shows[1]


def test_giving_up_ends_it() -> None:
    assert begun("pressure-line-off", "cuts-on-the-straight").plus(hp.GaveUp()).ended == GIVEN_UP


@pytest.mark.parametrize(
    "event",
    [
        hp.TurnedScrew("low needle", 0),
        hp.TurnedScrew("low needle", 7),
        hp.Hinted(4),
        hp.MendedPart("high-needle-rich"),
        hp.Replied("yes"),
        hp.Begun("x", "revs-hang", ()),
        hp.Looked("along-the-lines", "no such answer"),
    ],
)
def test_what_no_hands_could_do_is_refused(event: hp.PracticeEvent) -> None:
    with pytest.raises(DiagnoseError):
        begun("pressure-line-off", "cuts-on-the-straight").plus(event)


def test_a_fault_of_another_program_is_refused() -> None:
    practice = Practice(KNOWLEDGE, [hp.Begun("x", "revs-hang", (MadeWrong("no-such-fault", 0, 0.5),))])
    with pytest.raises(DiagnoseError, match="no-such-fault"):
        practice.story()


@pytest.mark.slow
def test_whatever_a_learner_does_the_program_can_say_what_it_would_do() -> None:
    for number in range(25):
        rng = Random(number)
        practice = Practice(KNOWLEDGE, [setting.drawn(KNOWLEDGE, f"any {number}", 1 + number % 2)])
        for _ in range(20):
            if practice.ended:
                break
            practice = practice.plus(_anything(practice, rng))
        assert sum(practice.walk.standing.belief.values()) == pytest.approx(1)
        assert practice.ended or practice.walk.step(practice.hands.now) is not None


def _anything(practice: Practice, rng: Random) -> hp.PracticeEvent:
    faults = [name for name, fault in practice.scope.faults.items() if not fault.turned]
    some: list[hp.PracticeEvent] = [
        hp.Looked(rng.choice(list(practice.scope.checks))),
        hp.MendedPart(rng.choice(faults)),
        hp.TurnedScrew(rng.choice(screws(practice.variant)), rng.choice([-3.0, -1.0, 1.0, 2.0])),
        hp.Ran(),
        hp.Hinted(rng.choice([1, 2, 3])),
        hp.Tried(),
        *([hp.SetBack()] if practice.begun.recorded else []),
    ]
    return rng.choice(some)


def test_going_on_step_by_step_comes_to_the_same_as_reading_it_from_the_journal() -> None:
    """A practice goes on from what it has come to. What it was before stays as it was."""
    begun = Practice(KNOWLEDGE, [setting.from_lesson(KNOWLEDGE, "better-and-not-gone")])
    steps = [begun]
    for event in advised(begun).events[1:]:
        steps.append(steps[-1].plus(event))
        steps[-2].plus(hp.GaveUp())  # another way from there
    for step in (steps[0], steps[5], steps[-1]):
        anew = Practice(KNOWLEDGE, step.events)
        assert anew.minutes == step.minutes
        assert [line._replace(before=None) for line in anew.lines] == [
            line._replace(before=None) for line in step.lines
        ]
        assert anew.walk.events == step.walk.events
        assert (anew.hands.visits, anew.hands.changes) == (step.hands.visits, step.hands.changes)
        assert anew.ended == step.ended
    assert steps[-1].ended == "cured"
