"""What a hand-over says was found: nothing that another look has ruled out."""

from __future__ import annotations

from little import answer, current, start

from diagnose.reason import events as ev
from diagnose.reason.hand_over import groups
from diagnose.reason.last_word import last_word

GUARDED = {"barrel": "fine", "failsafe": "fine"}


def test_what_a_second_look_has_all_but_ruled_out_is_not_said_to_be_found() -> None:
    walk = answer(start(), **GUARDED, hold="bleeds", soap="suds")  # both could leak, and the suds say which one does
    walk = walk.plus(ev.Deferred(0, "lid-leaks"))
    assert set(walk.standing.accused) == {"line-off", "lid-leaks"}
    walk = answer(walk, bubbles="fine", new_plug="same")
    step = current(walk)
    assert step.kind == "refer"
    assert "not mended yet: a fault." in step.ask  # one name, and every fault of the little knowledge has the same
    assert walk.standing.found == ["lid-leaks"]
    assert "a fault, a fault" not in last_word(walk, 0).because


def test_while_nothing_tells_them_apart_both_are_said_to_be_found() -> None:
    walk = answer(start(), **GUARDED, hold="bleeds")
    assert set(walk.standing.found) == {"line-off", "lid-leaks"}


def test_what_the_same_look_has_taken_back_is_listed_as_sound_alone() -> None:
    walk = answer(start(), **GUARDED, bubbles="bubbles", hold="fine")
    walk = answer(walk, bubbles="fine")
    lists = {group.heading: group.lines for group in groups(walk.view(0))}
    assert "I found" not in lists
    assert "bubbles" in lists["I looked at these, and they were sound"]


def test_what_was_found_besides_is_said_of_an_engine_that_is_cured() -> None:
    walk = answer(start(), **GUARDED, hold="bleeds", soap="suds", bubbles="bubbles").plus(ev.Mended(5, "lid-leaks"))
    cured = answer(walk, hold="fine", soap="fine").plus(ev.Retested(9, "cured")).verdict()
    assert cured is not None
    assert cured.because == "the mend cured it. Found besides, and not put right: a fault"
    walk = answer(start(), **GUARDED, hold="bleeds", soap="suds").plus(ev.Mended(5, "lid-leaks"))
    alone = answer(walk, hold="fine", soap="fine").plus(ev.Retested(9, "cured")).verdict()
    assert alone is not None
    assert alone.because == "the mend cured it"
