"""The walk: what comes next, and what an answer, a mend or a step back does to it."""

from __future__ import annotations

import pytest
from little import CHECKS, FAULTS, SOUND, answer, current, fault, knowledge, planned, raw, start, warm

from diagnose.errors import DiagnoseError
from diagnose.reason import events as ev
from diagnose.reason.again import SECOND_LOOKS
from diagnose.reason.explain import what_if, why
from diagnose.reason.steps import ENOUGH
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


def test_what_shares_one_mend_is_mended_without_more_looks() -> None:
    faults = {**FAULTS, "lid-leaks": {**FAULTS["lid-leaks"], "mend": FAULTS["line-off"]["mend"]}}
    assert current(answer(start(knowledge(faults=faults)), hold="bleeds")).kind == "mend"


def test_when_nothing_tells_them_apart_belief_per_minute_of_mending_decides() -> None:
    checks = {name: check for name, check in CHECKS.items() if name != "soap"}
    slow = {**FAULTS["line-off"], "mend": {**FAULTS["line-off"]["mend"], "minutes": 20}}
    step = current(answer(start(knowledge(checks=checks, faults={**FAULTS, "line-off": slow})), hold="bleeds"))
    assert (step.kind, step.id) == ("mend", "lid-leaks")


def test_after_a_mend_the_same_check_is_made_again_then_the_symptom_is_tried() -> None:
    walk = answer(start(), hold="bleeds", soap="suds", barrel="fine", failsafe="fine").plus(ev.Mended(0, "lid-leaks"))
    step = current(walk)
    assert (step.kind, step.id) == ("recheck", "soap")
    walk = answer(walk, soap="fine")
    assert current(walk).kind == "retest"
    cured = walk.plus(ev.Retested(0, "cured")).verdict()
    assert cured is not None
    assert (cured.outcome, cured.mended) == ("cured", ("lid-leaks",))


def test_a_mend_retires_what_its_fault_could_explain_and_the_areas_it_touches() -> None:
    walk = answer(start(), hold="bleeds", soap="suds", bubbles="fine").plus(ev.Mended(0, "lid-leaks"))
    assert "hold" not in walk.state.answers
    assert "soap" not in walk.state.answers
    assert "bubbles" in walk.state.answers


def test_a_mend_that_touches_what_either_guard_looks_at_makes_both_owed_again() -> None:
    mend = {"do": ["Mend it."], "minutes": 2, "touches": ["receiver"]}
    known = knowledge(
        faults={**FAULTS, "no-fail-safe": fault("receiver", 0, mend=mend), "froth": fault("fuel", 2, mend=mend)}
    )
    walk = answer(start(known), **SOUND | {"bubbles": "bubbles"})
    assert {"barrel", "failsafe"} <= walk.state.answers.keys()
    assert not {"barrel", "failsafe"} & walk.plus(ev.Mended(0, "froth")).state.answers.keys()
    elsewhere = walk.plus(ev.Mended(0, "lid-leaks"))
    assert {"barrel", "failsafe"} <= elsewhere.state.answers.keys()


def test_a_mend_that_does_not_cure_is_struck_and_the_walk_goes_on() -> None:
    walk = answer(start(), **SOUND | {"hold": "bleeds"}, soap="suds").plus(ev.Mended(0, "lid-leaks"))
    walk = answer(walk, soap="fine").plus(ev.Retested(0, "same"))
    assert "lid-leaks" not in walk.standing.belief
    assert current(walk).id == "hold"  # owed again: it still has the line to look for
    assert walk.state.mended == ["lid-leaks"]


def test_a_mend_that_takes_longer_than_there_is_time_says_so() -> None:
    walk = answer(start(), **SOUND | {"bubbles": "bubbles"})
    for minutes, late in ((1.0, True), (3.0, False)):
        step = current(walk.plus(ev.Deadline(0, minutes)))
        assert (step.kind, step.id) == ("mend", "froth")
        assert ("It takes 2 minutes, and does not fit the time that is left." in step.why) == late


def test_events_that_begin_with_no_start_are_no_walk() -> None:
    for events in ((), (ev.Answered(0, "hold", "fine"),)):
        with pytest.raises(DiagnoseError, match="the first one must say how it started"):
            replay(knowledge(), events)


def test_a_check_that_still_accuses_after_every_mend_hands_over() -> None:
    walk = answer(start(), **SOUND | {"bubbles": "bubbles"}).plus(ev.Mended(0, "froth"))
    walk = answer(walk, bubbles="bubbles", soap="fine")
    assert (current(walk).kind, current(walk).id) == ("recheck", "bubbles")  # a look can be mistaken
    walk = answer(walk, bubbles="bubbles")
    step = current(walk)
    assert step.kind == "refer"
    assert "showed it again" in step.ask
    end = walk.plus(ev.HandedOver(0, "x")).verdict()
    assert end is not None
    assert end.mended == ()  # it was mended in vain


def test_a_swap_that_cures_is_the_mend() -> None:
    walk = answer(start(), barrel="fine", failsafe="fine", new_plug="cured")
    assert current(walk).kind == "retest"
    end = walk.plus(ev.Retested(0, "cured")).verdict()
    assert end is not None
    assert end.mended == ("plug-tired",)


def test_a_swap_that_changes_nothing_strikes_its_fault() -> None:
    walk = answer(start(), barrel="fine", failsafe="fine", new_plug="same")
    assert "plug-tired" not in walk.standing.belief
    assert "plug-tired" not in walk.standing.first_owed


def test_a_fault_found_and_not_mended_ends_in_a_hand_over() -> None:
    walk = (
        answer(start(), hold="bleeds", soap="suds").plus(ev.Deferred(0, "lid-leaks")).plus(ev.Deferred(0, "line-off"))
    )
    looked = set()
    while (step := current(walk)).kind == "ask":  # what can still be looked at is looked at
        looked.add(step.id)
        walk = answer(walk, **{step.id.replace("-", "_"): walk.scope.checks[step.id].healthy})
    assert looked == {"barrel", "failsafe", "bubbles", "new-plug"}
    assert step.kind == "refer"
    assert "not mended" in step.ask


LONG = {**FAULTS, "lid-leaks": {**FAULTS["lid-leaks"], "mend": {**FAULTS["lid-leaks"]["mend"], "minutes": 60}}}


def test_a_long_mend_wants_a_second_sign() -> None:
    walk = answer(start(knowledge(faults=LONG)), soap="suds")
    assert (current(walk).kind, current(walk).id) == ("ask", "hold")
    step = current(answer(walk, bubbles="fine"))
    assert (step.kind, step.id) == ("ask", "hold")  # another look, though the same again would change no bench state
    assert current(answer(walk, bubbles="fine", soap="suds")).id == "hold"  # the same eyes twice are not two looks
    assert current(answer(walk, hold="bleeds")).kind == "mend"
    outvoted = answer(walk, hold="fine")
    assert outvoted.standing.accused == {}
    assert current(outvoted).kind == "ask"


def test_nobody_mends_on_an_answer_that_was_not_quite_sure() -> None:
    walk = answer(start(), sure=False, bubbles="bubbles")
    walk = answer(walk, barrel="fine", failsafe="fine")
    step = current(walk)
    assert (step.kind, step.id) == ("ask", "bubbles")
    assert current(answer(walk, bubbles="bubbles")).kind == "mend"
    still = answer(walk, sure=False, bubbles="bubbles")
    assert current(still).kind == "ask"
    assert current(still).id != "bubbles"


def test_cant_tell_leaves_the_check_owed_and_offers_another_that_shows_the_same() -> None:
    walk = answer(start(), hold="can't tell")
    assert "line-off" in walk.standing.first_owed
    seen = set()
    while (step := current(walk)).kind == "ask" and step.id != "pinch":
        seen.add(step.id)
        walk = answer(walk, **{step.id.replace("-", "_"): walk.scope.checks[step.id].healthy})
    assert "soap" in seen  # it shows the lid too
    assert "hold" in seen  # asked once more before handing over, and owed all the same if nobody can tell
    walk = answer(start(), **SOUND | {"hold": "can't tell"}, soap="fine")
    assert "could not be looked for" in planned(walk).ask  # nothing else shows the line


def test_not_quite_sure_never_opens_the_gate_and_is_asked_again_at_the_end() -> None:
    walk = answer(start(), sure=False, hold="fine")
    assert "line-off" in walk.standing.first_owed
    walk = answer(walk, barrel="fine", failsafe="fine", bubbles="fine", new_plug="same", soap="fine")
    assert current(walk).id == "hold"
    assert planned(answer(walk, sure=False, hold="fine")).kind == "refer"


def test_before_handing_over_the_look_that_is_likeliest_to_have_missed_is_made_once_more() -> None:
    walk = answer(start(), **SOUND, soap="fine", pinch="short climb")
    assert planned(walk).kind == "refer"
    seen = []
    while (step := current(walk)).kind == "ask":
        seen.append(step.id)
        assert step.choices[-1].id == ENOUGH
        walk = answer(walk, **{step.id.replace("-", "_"): walk.state.answers[step.id].answer})
    assert step.kind == "refer"
    assert seen
    assert len(seen) == len(set(seen)) <= SECOND_LOOKS


def test_a_second_look_may_be_left_out_and_the_walk_is_handed_over_as_it_would_have_been() -> None:
    walk = answer(start(), **SOUND, soap="fine", pinch="short climb")
    ended = walk.plus(walk.choose(current(walk), ENOUGH, 0.0))
    assert ended.verdict().outcome == "handed over"
    assert ended.verdict().because == planned(walk).ask


def test_a_look_that_missed_is_found_the_second_time() -> None:
    walk = answer(start(), **SOUND, soap="fine", pinch="short climb")
    step = current(walk)
    accusing = next(name for name, one in walk.scope.checks[step.id].answers.items() if not one.healthy)
    assert current(answer(walk, **{step.id.replace("-", "_"): accusing})).kind in ("mend", "ask")


def test_not_quite_sure_moves_the_belief_less() -> None:
    sure, unsure = answer(start(), hold="bleeds"), answer(start(), sure=False, hold="bleeds")
    before = start().standing.belief["lid-leaks"]
    assert before < unsure.standing.belief["lid-leaks"] < sure.standing.belief["lid-leaks"]


def test_nothing_runs_before_both_guards() -> None:
    walk = answer(start(), hold="fine")
    asked = []
    while (step := current(walk)).state == "parked":
        asked.append(step.id)
        walk = answer(walk, **{step.id: "fine"})
    assert set(asked) == {"barrel", "failsafe"}
    assert step.state == "running on the stand"


def test_a_guard_that_cant_be_told_keeps_the_engine_off() -> None:
    walk = answer(start(), barrel="fine", failsafe="can't tell")
    assert current(walk).id == "hold"
    walk = answer(walk, hold="fine")
    assert current(walk).id == "failsafe"  # once more, or with somebody else
    walk = answer(walk, failsafe="can't tell")
    assert planned(walk).kind == "refer"
    assert not any(walk.scope.checks[name].runs for name, _ in walk.askable())


def test_a_grounding_finding_is_mended_before_anything_runs() -> None:
    walk = answer(start(), hold="bleeds", soap="suds", barrel="open")
    assert current(walk).id == "failsafe"
    walk = answer(walk, failsafe="fine")
    assert current(walk).id == "barrel"  # nothing else speaks for it, so it is looked at once more
    walk = answer(walk, barrel="open")
    assert current(walk).id == "held-open"
    walk = walk.plus(ev.Deferred(0, "held-open"))
    assert current(walk).kind == "refer"


def test_a_mend_of_the_linkage_makes_the_guards_owed_again() -> None:
    walk = answer(start(), failsafe="fine", barrel="open").plus(ev.Mended(0, "held-open"))
    assert not walk.state.healthy(walk.scope, "failsafe")


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


def test_what_is_only_remembered_is_asked_once_and_outlives_a_mend() -> None:
    known = knowledge(checks={**CHECKS, "hold": {**CHECKS["hold"], "remembered": True}})
    walk = answer(start(known), hold="bleeds", soap="suds").plus(ev.Mended(0, "lid-leaks"))
    assert "hold" not in walk.state.recheck
    assert walk.state.answers["hold"].answer == "bleeds"
    sound = answer(start(known), **SOUND, soap="fine", pinch="short climb")
    seen = set()
    while (step := current(sound)).kind == "ask":
        seen.add(step.id)
        sound = answer(sound, **{step.id.replace("-", "_"): sound.state.answers[step.id].answer})
    assert "hold" not in seen


def test_where_the_looks_come_first_no_mend_is_tried_on_the_engine_before_they_are_made() -> None:
    symptoms = raw()["symptoms"]
    symptoms["loads-up"]["looks first"] = True
    walk = answer(start(knowledge(symptoms=symptoms)), hold="bleeds", soap="suds").plus(ev.Mended(0, "lid-leaks"))
    walk = answer(walk, **dict.fromkeys(walk.state.recheck, "fine"))
    seen = []
    while (step := current(walk)).kind == "ask":
        seen.append(step.id)
        walk = answer(walk, **{step.id.replace("-", "_"): walk.scope.checks[step.id].healthy})
    assert {"barrel", "failsafe", "bubbles"} <= set(seen)
    assert step.kind == "retest"


def test_what_is_remembered_does_not_have_the_same_mend_made_again() -> None:
    known = knowledge(checks={**CHECKS, "hold": {**CHECKS["hold"], "remembered": True}})
    walk = answer(start(known), hold="bleeds").plus(ev.Mended(0, "lid-leaks"))
    assert "lid-leaks" not in walk.standing.accused
