"""An answer that is not quite sure, a look that could not be told, and one that is made a second time."""

from __future__ import annotations

from little import SOUND, answer, current, planned, start

from diagnose.reason.again import SECOND_LOOKS
from diagnose.reason.steps import ENOUGH


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


def test_a_guard_that_cant_be_told_keeps_the_engine_off() -> None:
    walk = answer(start(), barrel="fine", failsafe="can't tell")
    assert current(walk).id == "hold"
    walk = answer(walk, hold="fine")
    assert current(walk).id == "failsafe"  # once more, or with somebody else
    walk = answer(walk, failsafe="can't tell")
    assert planned(walk).kind == "refer"
    assert not any(walk.scope.checks[name].runs for name, _ in walk.askable())
