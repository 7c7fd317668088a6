"""Which mend comes first, and what comes after it: the same check, a re-test, and what is owed again."""

from __future__ import annotations

from little import CHECKS, FAULTS, SOUND, answer, current, fault, knowledge, raw, start

from diagnose.reason import events as ev


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


def test_a_mend_of_the_linkage_makes_the_guards_owed_again() -> None:
    walk = answer(start(), failsafe="fine", barrel="open").plus(ev.Mended(0, "held-open"))
    assert not walk.state.healthy(walk.scope, "failsafe")


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
