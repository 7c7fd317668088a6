"""What the walk does for who can't go on, or began at the wrong symptom, or comes back another time."""

from __future__ import annotations

from itertools import pairwise

import pytest
from shipped import load

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Variant
from diagnose.pages.rather import led_on
from diagnose.reason import events as ev
from diagnose.reason.carry import Outing, unmended
from diagnose.reason.decide import MOST_LOST
from diagnose.reason.easier import easier
from diagnose.reason.explain import knows, suspects, what_if
from diagnose.reason.hand_over import groups
from diagnose.reason.rather import rather
from diagnose.reason.remaining import still_to_come
from diagnose.reason.steps import ENOUGH, LOST, RATHER
from diagnose.reason.view import Step
from diagnose.reason.walk import Walk, begin

KNOWN = load()
DEAD = {"plug-glows": "dark", "igniter-on-spare-plug": "bright at once"}


def start(symptom: str, **more: object) -> Walk:
    return begin(KNOWN, ev.Started(0, KNOWN.digest, symptom, "", Variant(), **more))  # type: ignore[arg-type]


def due(walk: Walk) -> Step:
    step = walk.step(walk.events[-1].at)
    assert step is not None
    return step


def after(walk: Walk, choice: str) -> Walk:
    return walk.plus(walk.choose(due(walk), choice, walk.events[-1].at + 30))


def past_the_guards(walk: Walk) -> Walk:
    """Answer the guards, which come first whatever the symptom."""
    while due(walk).id in walk.scope.guards:
        walk = after(walk, KNOWN.checks[due(walk).id].healthy)
    return walk


def to_the_mend(walk: Walk) -> Walk:
    """Answer as a dead plug would, until it is to be put right."""
    while due(walk).kind != "mend":
        walk = after(walk, DEAD.get(due(walk).id, KNOWN.checks[due(walk).id].healthy))
    return walk


def test_nothing_is_suspected_before_anything_is_known() -> None:
    walk = start("spins-but-never-fires")
    assert not knows(walk)
    assert suspects(walk) == ()
    assert suspects(after(walk, ev.CANT_TELL)) == ()
    assert suspects(after(walk, KNOWN.checks[due(walk).id].healthy))


def test_at_a_door_nothing_is_suspected_whatever_was_answered() -> None:
    walk = past_the_guards(start("will-not-start"))
    assert due(walk).id == "turns-freely"
    assert suspects(walk) == ()
    assert suspects(after(walk, "turns freely")) == ()


def test_a_person_can_be_asked_after_three_looks_that_could_not_be_told_and_must_be_after_seven() -> None:
    walk = start("spins-but-never-fires")
    for number in range(MOST_LOST):
        offered = {choice.id for choice in due(walk).choices}
        assert (ENOUGH in offered) == (number >= LOST)
        told = {one.choice: one.next for one in what_if(walk, due(walk), 0.0)}
        assert told.get(ENOUGH) == ("the walk ends" if number >= LOST else None)
        walk = after(walk, ev.CANT_TELL)
    assert due(walk).kind == "refer"
    assert "experienced driver" in due(walk).ask


def test_one_look_that_can_be_told_begins_the_count_anew() -> None:
    walk = start("spins-but-never-fires")
    for _ in range(LOST):
        walk = after(walk, ev.CANT_TELL)
    walk = after(walk, KNOWN.checks[due(walk).id].healthy)
    assert walk.state.lost == 0
    assert due(walk).kind == "ask"


def test_to_end_it_after_three_hands_over_for_that_reason() -> None:
    walk = start("spins-but-never-fires")
    for _ in range(LOST):
        walk = after(walk, ev.CANT_TELL)
    verdict = after(walk, ENOUGH).verdict()
    assert verdict is not None
    assert "experienced driver" in verdict.because


def test_fewer_steps_are_likely_to_come_the_more_is_known_and_none_after_the_last() -> None:
    walk = start("spins-but-never-fires")
    told = [still_to_come(walk, due(walk))]
    while due(walk).kind != "mend":
        walk = after(walk, DEAD.get(due(walk).id, KNOWN.checks[due(walk).id].healthy))
        told.append(still_to_come(walk, due(walk)))
    steps = [one for one in told if one is not None]
    assert len(steps) == len(told)
    # what was likeliest to show it was sound: one look more may be needed, and never two
    assert all(later <= earlier + 1 for earlier, later in pairwise(steps))
    assert sum(later > earlier for earlier, later in pairwise(steps)) <= 1
    assert max(steps) == steps[0]
    assert steps[-1] == min(steps) == 1 + 1 + 1  # the same look again, closing up, and trying it


def test_at_a_door_nobody_can_say_how_many_steps_come() -> None:
    walk = start("will-not-start")
    assert still_to_come(walk, due(walk)) is None


def test_an_easier_look_needs_no_more_and_shows_some_of_the_same() -> None:
    walk = start("will-not-restart-hot")
    found = {name: easier(walk, name) for name in walk.scope.checks}
    assert any(found.values())
    for name, other in found.items():
        if other:
            hard, easy = walk.scope.checks[name], walk.scope.checks[other]
            assert set(easy.tools) <= set(hard.tools)
            assert easy.minutes <= hard.minutes
            assert easy.engine == "off"
            assert walk.scope.clears(name) & walk.scope.clears(other)


def test_that_it_is_another_symptom_is_known_right_after_the_answer_that_shows_it() -> None:
    walk = past_the_guards(start("revs-but-does-not-pull"))
    assert due(walk).id == "sound-without-speed"
    walk = after(walk, "stays low")
    assert "bogs-off-the-line" in rather(walk.scope, walk.state, walk.symptom, just_now=True)
    walk = after(walk, KNOWN.checks[due(walk).id].healthy)
    assert rather(walk.scope, walk.state, walk.symptom, just_now=True) == ()


def test_the_walk_goes_on_with_the_other_symptom_and_keeps_the_answers() -> None:
    walk = after(past_the_guards(start("revs-but-does-not-pull")), "stays low")
    walk = walk.plus(ev.Redirected(60, "bogs-off-the-line"))
    assert walk.symptom == "bogs-off-the-line"
    assert walk.state.answers["sound-without-speed"].answer == "stays low"
    assert KNOWN.symptoms["bogs-off-the-line"].name in led_on(walk)
    assert due(walk).node in KNOWN.symptoms["bogs-off-the-line"].route


def test_a_walk_is_led_to_no_symptom_that_there_is_not() -> None:
    with pytest.raises(DiagnoseError, match="there is no symptom 'bogs-off-the-lime'"):
        start("revs-but-does-not-pull").plus(ev.Redirected(60, "bogs-off-the-lime"))


def test_a_hand_over_because_of_another_symptom_offers_to_go_on_with_it() -> None:
    walk = after(past_the_guards(start("revs-but-does-not-pull")), "stays low")
    for _ in range(40):
        step = due(walk)
        if step.kind == "refer":
            break
        walk = after(walk, KNOWN.checks[step.id].healthy if step.kind == "ask" else step.choices[0].id)
    assert f"{RATHER}overheats" in [choice.id for choice in due(walk).choices]
    assert after(walk, f"{RATHER}overheats").symptom == "overheats"


def test_a_walk_that_waits_stands_at_the_same_step() -> None:
    walk = to_the_mend(start("spins-but-never-fires"))
    waiting = walk.plus(ev.Parked(600, "plug-coil-broken", ("plug spanner",)))
    assert due(waiting) == due(walk)
    assert ev.from_json(ev.to_json(waiting.events[-1])) == waiting.events[-1]
    assert waiting.take_back(700) == walk.take_back(700)


def test_what_was_found_and_not_mended_begins_the_next_walk() -> None:
    walk = to_the_mend(start("spins-but-never-fires"))
    found = unmended(Outing("one", walk, 600))
    assert {one.check: one.answer for one in found} == {"plug-glows": "dark"}
    later = start("will-not-restart-hot", found=tuple(found))
    assert "plug-coil-broken" in later.standing.accused
    assert due(later).id in ("plug-coil-broken", *DEAD)


def test_what_was_mended_and_cured_does_not_begin_the_next_walk() -> None:
    walk = to_the_mend(start("spins-but-never-fires"))
    for _ in range(10):
        if walk.verdict() is not None:
            break
        step = due(walk)
        walk = after(walk, KNOWN.checks[step.id].healthy if step.kind in ("ask", "recheck") else step.choices[0].id)
    verdict = walk.verdict()
    assert verdict is not None
    assert verdict.cured
    assert unmended(Outing("one", walk, 600)) == []


def test_nothing_is_called_found_that_a_later_look_ruled_out() -> None:
    walk = start("spins-but-never-fires")
    walk = walk.plus(ev.Answered(30, "plug-glows", "dark"))
    found = next(group for group in groups(walk.view(40)) if group.heading == "I found")
    assert any("glow of the plug" in line for line in found.lines)
    walk = walk.plus(ev.Answered(60, "plug-glows", "glows"))
    assert "I found" not in [group.heading for group in groups(walk.view(70))]


def test_a_walk_that_had_ended_is_opened_again_by_an_event_of_its_own() -> None:
    walk = to_the_mend(start("spins-but-never-fires"))
    for _ in range(10):
        if walk.verdict() is not None:
            break
        step = due(walk)
        walk = after(walk, KNOWN.checks[step.id].healthy if step.kind in ("ask", "recheck") else step.choices[0].id)
    again = walk.reopen(5_000)
    assert again is not None
    opened = walk.plus(again)
    assert opened.events[:-1] == walk.events
    assert opened.verdict() is None
    assert due(opened).kind == "retest"
    assert "opened again" in opened.view(5_000).trail[-1].what


def test_a_walk_that_goes_on_is_not_opened_again() -> None:
    walk = start("spins-but-never-fires")
    assert walk.reopen(10) is None
    with pytest.raises(DiagnoseError, match="only a walk that has ended"):
        walk.plus(ev.Reopened(10, 0))
