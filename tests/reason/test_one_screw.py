"""One screw is turned, then the engine is heard; a second one follows only if the idle asks for it."""

from __future__ import annotations

import pytest
from little import SOUND, answer, current, knowledge, start, warm

from diagnose.errors import DiagnoseError
from diagnose.reason import events as ev
from diagnose.reason.steps import DONE
from diagnose.reason.turns import STAYS
from diagnose.reason.walk import Walk, replay
from diagnose.record.ledger import done


def turned() -> Walk:
    """Return a walk in which the low needle was turned an hour leaner."""
    walk = answer(warm(answer(start(knowledge()), **SOUND)), pinch="long climb")
    step = current(walk, 20)
    assert [turn.screw for turn in step.turns] == ["low needle"]
    return walk.plus(walk.choose(step, DONE, 20))


def followed(choice: str = DONE) -> Walk:
    walk = turned()
    return walk.plus(walk.choose(current(walk, 60), choice, 60))


def test_after_the_first_screw_the_engine_is_listened_to_before_the_second() -> None:
    step = current(turned(), 60)
    assert (step.kind, step.id, step.engine) == ("follow", "idle stop", "running")
    assert "idle faster" in step.ask
    assert [(turn.screw, turn.way, turn.hours) for turn in step.turns] == [("idle stop", "out", 1.0)]


def test_the_second_screw_is_turned_where_the_idle_asks_for_it() -> None:
    walk = followed()
    assert walk.state.turned == {"low needle": -1.0, "idle stop": -1.0}
    assert (len(walk.state.adjustments), current(walk, 90).kind) == (1, "retest")


def test_the_second_screw_stays_where_the_idle_does_not_ask_for_it() -> None:
    walk = followed(STAYS)
    assert walk.state.turned == {"low needle": -1.0}
    assert current(walk, 90).kind == "retest"


def test_both_are_turned_back_where_both_were_turned_and_one_where_one_was() -> None:
    for choice, back in ((DONE, {"low needle", "idle stop"}), (STAYS, {"low needle"})):
        walk = followed(choice)
        walk = walk.plus(ev.Retested(120, "worse"))
        step = current(walk, 130)
        assert (step.kind, {turn.screw for turn in step.turns}) == ("undo", back)
        walk = walk.plus(ev.Undone(140))
        assert not any(walk.state.turned.values())


def test_the_ledger_has_two_turns_that_came_out_alike_and_takes_both_back() -> None:
    walk = followed().plus(ev.Retested(120, "worse"))
    walk = walk.plus(ev.Undone(140))
    low, stop, back = (one for one in done(walk.events, walk.knowledge, "one") if hasattr(one, "screw"))
    assert (low.screw, low.result, stop.screw, stop.result) == ("low needle", "worse", "idle stop", "worse")  # type: ignore[union-attr]
    assert {screw for screw, _, _ in back.moves()} == {"low needle", "idle stop"}  # type: ignore[union-attr]


def test_an_older_walk_that_turned_both_in_one_go_folds_as_it_did() -> None:
    walk = turned()
    *before, last = walk.events
    assert isinstance(last, ev.Adjusted)
    old = ev.Adjusted(last.at, last.screw, last.way, last.hours, {"idle stop": -1.0}, last.node)
    folded = replay(walk.knowledge, (*before, old))
    assert folded.state.turned == {"low needle": -1.0, "idle stop": -1.0}
    assert folded.state.adjustments == [old]
    assert current(folded, 60).kind == "retest"
    assert ev.from_json(ev.to_json(old)) == old
    assert "follows" not in ev.to_json(old)


def test_the_second_screw_cannot_be_turned_twice_nor_with_the_first() -> None:
    with pytest.raises(DiagnoseError, match="not open now"):
        followed().plus(ev.Adjusted(90, "idle stop", "out", 1.0, follows=True))
    walk = answer(warm(answer(start(knowledge()), **SOUND)), pinch="long climb")
    with pytest.raises(DiagnoseError, match="not open now"):
        walk.plus(ev.Adjusted(20, "low needle", "leaner", 1.0, {"idle stop": -1.0}, "leaner"))


@pytest.mark.parametrize(("said", "hours"), [("half", 0.5), ("quarter", 0.25)])
def test_less_than_an_hour_can_be_turned_and_the_second_screw_follows_by_as_much(said: str, hours: float) -> None:
    walk = answer(warm(answer(start(knowledge()), **SOUND)), pinch="long climb")
    walk = walk.plus(walk.choose(current(walk, 20), said, 20))
    assert walk.state.turned == {"low needle": -hours}
    step = current(walk, 60)
    assert [(turn.screw, turn.hours) for turn in step.turns] == [("idle stop", hours)]
    assert walk.plus(walk.choose(step, DONE, 60)).state.turned == {"low needle": -hours, "idle stop": -hours}


def test_no_other_part_of_an_hour_is_taken() -> None:
    walk = answer(warm(answer(start(knowledge()), **SOUND)), pinch="long climb")
    with pytest.raises(DiagnoseError, match="not open now"):
        walk.plus(ev.Adjusted(20, "low needle", "leaner", 0.3, node="leaner"))
