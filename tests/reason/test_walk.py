"""The walk: what comes next, and what an answer, a mend or a step back does to it."""

from __future__ import annotations

import pytest
from little import SOUND, answer, current, knowledge, planned, start, warm

from diagnose.errors import DiagnoseError
from diagnose.reason import events as ev
from diagnose.reason.explain import what_if, why
from diagnose.reason.walk import replay


def test_a_walk_begins_with_the_guards_and_a_sweep_with_the_quickest_gain() -> None:
    walk = start()
    assert [current(walk).id, current(answer(walk, barrel="fine")).id] == ["barrel", "failsafe"]
    step = current(answer(walk, barrel="fine", failsafe="fine"))
    assert (step.kind, step.id) == ("ask", "hold")
    assert [choice.id for choice in step.choices] == ["fine", "bleeds", "can't tell", "no tool now"]


def test_an_answer_that_accuses_two_faults_is_told_apart_before_a_mend() -> None:
    walk = answer(start(), hold="bleeds")
    assert current(walk).id == "soap"
    assert current(answer(walk, soap="suds")).kind == "mend"
    assert current(answer(walk, soap="suds")).id == "lid-leaks"
    assert current(answer(walk, soap="fine")).id == "line-off"


def test_events_that_begin_with_no_start_are_no_walk() -> None:
    for events in ((), (ev.Answered(0, "hold", "fine"),)):
        with pytest.raises(DiagnoseError, match="the first one must say how it started"):
            replay(knowledge(), events)


def test_nothing_runs_before_both_guards() -> None:
    walk = answer(start(), hold="fine")
    asked = []
    while (step := current(walk)).state == "parked":
        asked.append(step.id)
        walk = answer(walk, **{step.id: "fine"})
    assert set(asked) == {"barrel", "failsafe"}
    assert step.state == "running on the stand"


def test_a_grounding_finding_is_mended_before_anything_runs() -> None:
    walk = answer(start(), hold="bleeds", soap="suds", barrel="open")
    assert current(walk).id == "failsafe"
    walk = answer(walk, failsafe="fine")
    assert current(walk).id == "barrel"  # nothing else speaks for it, so it is looked at once more
    walk = answer(walk, barrel="open")
    assert current(walk).id == "held-open"
    walk = walk.plus(ev.Deferred(0, "held-open"))
    assert current(walk).kind == "refer"


def test_history_is_evidence_and_may_be_skipped() -> None:
    walk = start()
    assert [name for name, _ in walk.history()] == ["changed"]
    crashed = walk.plus(ev.Told(0, "changed", "crash"))
    assert crashed.standing.belief["held-open"] > walk.standing.belief["held-open"]
    skipped = walk.plus(ev.Told(0, "changed", "skipped"))
    assert skipped.standing.belief == walk.standing.belief
    assert skipped.history() == []


def test_a_carried_answer_counts_for_the_gate_and_half_for_the_belief() -> None:
    carried = start(carried=(ev.Carried("hold", "fine", -100.0, "outing 1"),))
    assert "line-off" not in carried.standing.first_owed
    assert answer(start(), hold="fine").standing.belief["line-off"] < carried.standing.belief["line-off"]
    assert carried.view(0).trail[0].carried
    refuelled = carried.plus(ev.Happened(0, "refuelled"))
    assert "line-off" in refuelled.standing.first_owed


@pytest.mark.parametrize("what", ["started", "refuelled", "opened", "crashed"])
def test_what_happened_since_makes_answers_stale(what: str) -> None:
    walk = start(carried=(ev.Carried("hold", "fine", -100.0, "outing 1"),)).plus(ev.Happened(0, what))  # type: ignore[arg-type]
    assert ("hold" in walk.state.answers) == (what == "started")  # good for a tank


def test_taking_back_leaves_no_trace() -> None:
    before = answer(start(), hold="fine")
    after = answer(before, barrel="fine")
    back = after.take_back(5.0)
    assert back is not None
    assert after.plus(back).view(9.0) == before.view(9.0)


def test_an_earlier_answer_can_be_changed_and_the_rest_stays() -> None:
    walk = answer(start(), hold="bleeds", barrel="fine").plus(ev.Retracted(0, 1))
    assert "hold" not in walk.state.answers
    assert "barrel" in walk.state.answers


def test_what_was_done_to_the_engine_is_not_taken_back_by_a_key() -> None:
    assert answer(start(), hold="bleeds").plus(ev.Mended(0, "line-off")).take_back(0) is None
    assert start().take_back(0) is None


def test_contradictory_answers_keep_the_newest() -> None:
    walk = answer(answer(start(), hold="bleeds"), hold="fine")
    assert walk.state.answers["hold"].answer == "fine"
    assert walk.standing.accused == {}


@pytest.mark.parametrize(
    ("event", "said"),
    [
        (ev.Answered(0, "holt", "fine"), "did you mean 'hold'"),
        (ev.Answered(0, "hold", "fien"), "did you mean 'fine'"),
        (ev.Measured(0, "hold", 3.0), "takes no reading"),
        (ev.Mended(0, "lid-leak"), "did you mean 'lid-leaks'"),
        (ev.Told(0, "changed", "crashed"), "did you mean 'crash'"),
        (ev.Told(0, "also", "load-up"), "did you mean 'loads-up'"),
        (ev.Prepared(0, "bring-to-heap", "ready"), "did you mean 'bring-to-heat'"),
        (ev.Undone(0), "no adjustment"),
        (ev.Retracted(0, 7), "no event 7"),
        (ev.Adjusted(0, "high needle", "leaner", 1), "not open now"),
    ],
)
def test_an_event_that_makes_no_sense_is_refused_with_the_reason(event: ev.Event, said: str) -> None:
    with pytest.raises(DiagnoseError, match=said):
        start().plus(event)


def test_an_unknown_symptom_is_refused_with_the_nearest() -> None:
    with pytest.raises(DiagnoseError, match="did you mean 'loads-up'"):
        start(symptom="load-up")


def test_why_says_what_a_check_can_show_and_unlocks() -> None:
    told = why(start(), "hold")
    assert {name for name, _, _ in told.suspects} == {"a fault"}
    assert told.unlocks == ("a fault", "a fault")
    with pytest.raises(DiagnoseError, match="did you mean 'hold'"):
        why(start(), "hol")


def test_what_if_gives_each_answer_its_chance_and_what_follows() -> None:
    walk = answer(start(), barrel="fine", failsafe="fine")
    told = what_if(walk, current(walk), 0)
    assert [one.choice for one in told] == ["fine", "bleeds", "can't tell", "no tool now"]
    assert sum(one.chance for one in told) == pytest.approx(1)
    assert told[1].next == "ask: soap"


def test_the_view_lists_what_is_owed_with_the_guards_first() -> None:
    view = start().view(0)
    assert [line.check for line in view.owed][:2] == ["barrel", "failsafe"]
    assert view.locks[0].rule == 1
    assert view.suspects == ()  # nothing is known yet
    seen = start().plus(ev.Answered(0, "hold", "fine")).view(0).suspects
    assert seen[0].share >= seen[1].share


def test_a_deadline_keeps_the_list_within_its_minutes_and_has_a_last_word() -> None:
    view = start().plus(ev.Deadline(0, 3.0)).view(60.0)
    assert view.deadline == pytest.approx(2.0)
    assert sum(line.minutes for line in view.owed) <= 2.0
    assert view.last_word == "stay out"


def test_a_whole_walk_reaches_the_needle_only_when_everything_is_sound() -> None:
    walk = answer(start(), **SOUND)
    assert current(walk).id == "bring-to-heat"
    walk = answer(warm(walk), pinch="long climb")
    step = current(walk)
    assert (step.kind, step.id) == ("adjust", "low needle")
    assert [(turn.screw, turn.way, turn.hours) for turn in step.turns] == [("low needle", "leaner", 1.0)]
    end = walk.plus(walk.choose(step, "done", 30)).plus(ev.Retested(60, "cured")).verdict()
    assert end is not None
    assert (end.outcome, end.adjustments) == ("cured", 1)


def test_worse_is_undone_before_anything_else() -> None:
    walk = answer(warm(answer(start(), **SOUND)), pinch="long climb")
    walk = walk.plus(walk.choose(current(walk), "done", 30)).plus(ev.Retested(60, "worse"))
    assert current(walk).kind == "undo"
    undone = walk.plus(ev.Undone(70))
    assert undone.state.turned == {"low needle": 0.0}
    assert planned(undone, 70).kind == "refer"


def test_events_survive_the_journal() -> None:
    walk = answer(warm(answer(start(), **SOUND)), pinch="long climb")
    assert tuple(ev.from_json(ev.to_json(event)) for event in walk.events) == walk.events
