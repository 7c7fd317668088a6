"""Time passes: after an absence somebody says what happened in it, and on another day everything is owed again."""

from __future__ import annotations

import pytest
from little import FAULTS, SOUND, answer, current, knowledge, start, warm

from diagnose.errors import DiagnoseError
from diagnose.reason import events as ev
from diagnose.reason.walk import Walk

MINUTE, HOUR = 60.0, 3600.0


def ready() -> Walk:
    """All is looked at and warm at time 0: the next step turns the low needle."""
    walk = warm(answer(start(), **SOUND, pinch="long climb"))
    assert current(walk).kind == "adjust"
    return walk


def rules(walk: Walk, now: float) -> set[int]:
    return {lock.rule for lock in walk.view(now).locks}


def test_a_needle_stays_locked_until_somebody_says_what_happened_in_an_absence() -> None:
    walk = warm(ready(), 25 * MINUTE)
    assert 5 in rules(walk, 25 * MINUTE)
    assert "what has happened to the car" in " ".join(lock.because for lock in walk.view(25 * MINUTE).locks)
    with pytest.raises(DiagnoseError, match="not open now"):
        walk.plus(ev.Adjusted(25 * MINUTE, "low needle", "leaner", 1.0, {"idle stop": -1.0}, "leaner"))
    walk = warm(walk.plus(ev.Happened(26 * MINUTE, "nothing")), 27 * MINUTE)
    assert current(walk, 27 * MINUTE).kind == "adjust"


def test_nobody_is_asked_after_less_than_twenty_minutes() -> None:
    walk = warm(ready(), 19 * MINUTE)
    assert current(walk, 19 * MINUTE).kind == "adjust"


def test_the_heat_is_unknown_after_an_absence() -> None:
    walk = ready().plus(ev.Deadline(21 * MINUTE, 30))
    assert walk.state.heat is None
    assert ready().plus(ev.Happened(1, "nothing")).state.heat is None


@pytest.mark.parametrize(("after", "asked"), [(35, False), (55, False), (65, True)])
def test_a_step_that_takes_long_is_no_absence(after: float, asked: bool) -> None:
    slow = {**FAULTS, "line-off": {**FAULTS["line-off"], "mend": {**FAULTS["line-off"]["mend"], "minutes": 40}}}
    walk = answer(answer(start(knowledge(faults=slow)), hold="bleeds", soap="fine"), hold="bleeds")
    assert current(walk).minutes == 40
    assert walk.left_alone(after * MINUTE, current(walk).minutes) == asked
    assert walk.plus(ev.Mended(after * MINUTE, "line-off")).state.unasked == asked


def test_a_walk_in_which_nothing_was_looked_at_has_nothing_to_ask() -> None:
    assert not start().left_alone(2 * HOUR)
    assert not start().plus(ev.Told(2 * HOUR, "changed", "nothing")).state.unasked


def test_what_was_said_of_an_absence_can_be_taken_back_and_is_asked_again() -> None:
    walk = ready().plus(ev.Happened(25 * MINUTE, "nothing"))
    assert not walk.state.unasked
    walk = walk.plus(ev.Answered(26 * MINUTE, "bubbles", "fine")).plus(ev.Retracted(27 * MINUTE, len(walk.events) - 1))
    assert walk.state.unasked


ANOTHER_DAY = [ev.Happened(10 * MINUTE, "another day"), ev.Happened(9 * HOUR, "nothing")]


@pytest.mark.parametrize("event", ANOTHER_DAY, ids=["said", "hours later"])
def test_on_another_day_everything_is_owed_again_guards_first(event: ev.Event) -> None:
    carried = (ev.Carried("hold", "fine", -100.0, "outing 1"),)
    walk = warm(answer(start(carried=carried), barrel="fine", failsafe="fine", bubbles="fine", pinch="long climb"))
    walk = walk.plus(ev.Deadline(0.0, 30)).plus(ev.Answered(1, "soap", ev.NO_TOOL)).plus(event)
    state = walk.state
    assert (state.answers, state.heat, state.unanswered, state.deadline) == ({}, None, {}, None)
    assert [line.check for line in walk.view(event.at).owed][:2] == ["barrel", "failsafe"]
    assert {1, 4, 5} <= rules(walk, event.at)


@pytest.mark.parametrize("event", ANOTHER_DAY, ids=["said", "hours later"])
def test_what_was_found_wrong_is_still_wrong_on_another_day(event: ev.Event) -> None:
    walk = answer(start(), barrel="open", hold="bleeds", soap="suds").plus(event)
    assert set(walk.state.answers) == {"barrel", "hold", "soap"}
    assert walk.state.grounded() == ["the throttle does not shut"]


def test_a_sign_of_rich_is_none_in_the_air_of_another_day_but_one_of_lean_is() -> None:
    for said, stays in (("long climb", False), ("dies", True)):
        walk = answer(start(), pinch=said).plus(ev.Happened(5, "another day"))
        assert ("pinch" in walk.state.answers) == stays


def test_a_plug_that_was_swapped_is_looked_at_again_on_another_day() -> None:
    walk = answer(start(), barrel="fine", failsafe="fine", new_plug="cured").plus(ev.Retested(0, "same"))
    assert "plug-tired" not in walk.standing.first_owed
    assert "plug-tired" in walk.plus(ev.Happened(5, "another day")).standing.first_owed


def test_what_was_turned_and_not_tried_is_still_to_be_tried_on_another_day() -> None:
    walk = ready()
    walk = walk.plus(walk.choose(current(walk), "done", 30)).plus(ev.Happened(9 * HOUR, "another day"))
    assert walk.state.turned["low needle"] == -1.0
    assert walk.state.retest == "adjust"
    assert (current(walk, 9 * HOUR).kind, current(walk, 9 * HOUR).id) == ("ask", "barrel")


def test_on_another_day_the_record_is_that_of_the_day() -> None:
    warm_day = ev.Target("low needle", 12.0, "Open it twelve hours.")
    cold_day = ev.Target("low needle", 14.0, "Open it fourteen hours.")
    walk = start(recorded=True, back=(warm_day,), explained={"high needle": -1.0})
    then = walk.plus(ev.Happened(5, "another day"))
    today = ev.Started(5, "", "loads-up", "blue truggy", walk.variant, recorded=True, back=(cold_day,))
    now = walk.plus(ev.Happened(5, "another day", today))
    assert then.state.explained == now.state.explained == {}
    assert cold_day.said in now.decision.steps.prepare("going-back", "").how
    assert warm_day.said not in now.decision.steps.prepare("going-back", "").how


def test_another_day_is_not_taken_back() -> None:
    walk = answer(start(), hold="fine").plus(ev.Happened(5, "another day"))
    with pytest.raises(DiagnoseError, match="the days go by"):
        walk.plus(ev.Retracted(6, 2))
    assert walk.take_back(6) == ev.Retracted(6, 1)
    assert [line.can_take_back for line in walk.view(6).trail] == [True, False]


def test_an_old_event_is_read_as_before() -> None:
    assert ev.from_json('{"kind":"happened","at":1.0,"what":"opened"}') == ev.Happened(1.0, "opened")
