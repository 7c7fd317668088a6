"""A screw that was seen to stand on its record is not turned: it ran well there, so something else has changed."""

from __future__ import annotations

from typing import Any

from little import CHECKS, FAULTS, SOUND, answer, check, current, in_no_doubt, knowledge, planned, shows, start, warm

from diagnose.reason import events as ev
from diagnose.reason import gate
from diagnose.reason.walk import Walk

LEAN = ev.Drift("not followed", "it stands lean of the day", 0.1, 0.45, 0.1, setting="lean")


def on_its_mark(marks: str = "fine", *, recorded: bool = True, jet: str = "", **more: Any) -> Walk:
    """Stand before an hour on the low needle, when the marks have said how it stands."""
    off = {"fine": CHECKS["hold"]["answers"]["fine"], "off": shows({"crept": 0.8}, 0.15)}
    crept = {**FAULTS["froth"], "area": "needles", "explains": {}, "kind": "screw", "screw": "low needle"}
    crept |= {"setting": "off", "mend": {**FAULTS["froth"]["mend"], "back": True, "touches": ["needles"]}}
    known = knowledge(checks={**CHECKS, "marks": check("parked", 0.5, off)}, faults={**FAULTS, "crept": crept})
    walk = answer(start(known, recorded=recorded, **more), **SOUND, marks=marks)
    walk = in_no_doubt(walk) if jet else answer(walk, **SOUND, soap="fine")
    return answer(warm(walk), pinch="long climb")


def test_what_may_be_inside_is_looked_at_instead_of_a_turn() -> None:
    step = current(on_its_mark())
    assert (step.kind, step.id) == ("ask", "jet")


def test_then_what_no_mark_tells_of_goes_home_and_the_screw_stays() -> None:
    step = current(on_its_mark(jet="fine"))
    assert (step.kind, step.only) == ("restore", ("mid needle", "high needle", "idle stop"))
    assert step.why == "The low needle stands where it ran well. No look tells that of these."


def test_at_the_end_it_is_handed_over_with_the_true_reason() -> None:
    walk = on_its_mark(jet="fine")
    walk = walk.plus(walk.choose(current(walk), "done", 20)).plus(ev.Retested(60, "same"))
    walk = answer(warm(walk, 60), 60, bubbles="fine")
    step = planned(walk, 60)
    assert step.kind == "refer"
    assert "the low needle was seen to stand where it ran well, so something else has changed" in step.ask


def test_the_gate_refuses_the_turn_that_no_other_rule_does() -> None:
    walk = on_its_mark(jet="fine")
    node = walk.standing.node
    locks = gate.locks(walk.standing, node, 0)  # type: ignore[arg-type]
    assert [(lock.rule, lock.because) for lock in locks] == [
        (8, "the low needle was seen to stand where it ran well, so something else has changed")
    ]


def test_without_a_record_without_a_sure_look_or_on_a_leaner_day_the_marks_forbid_nothing() -> None:
    assert on_its_mark(recorded=False).standing.in_place == frozenset()
    assert on_its_mark("can't tell").standing.in_place == frozenset()
    assert on_its_mark(drift=LEAN).standing.in_place == frozenset()
    assert on_its_mark().standing.in_place == {"low needle"}
