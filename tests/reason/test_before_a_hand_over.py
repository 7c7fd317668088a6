"""Before a hand-over: what was never looked at comes before any look is made twice."""

from __future__ import annotations

from little import CHECKS, FAULTS, SOUND, answer, check, current, knowledge, shows, start, warm

from diagnose.reason.walk import Walk


def at_the_end(minutes: float = 2) -> Walk:
    """Return a walk that would be handed over, with one look at the froth never made."""
    foam = check("parked", minutes, {"fine": CHECKS["hold"]["answers"]["fine"], "foam": shows({"froth": 0.8})})
    froth = {**FAULTS["froth"], "explains": {"loads-up": 20}}
    walk = start(knowledge(checks={**CHECKS, "foam": foam}, faults={**FAULTS, "froth": froth}))
    return answer(answer(warm(answer(walk, **SOUND)), pinch="short climb"), soap="fine")


def test_what_was_never_looked_at_comes_before_a_look_is_made_twice() -> None:
    step = current(at_the_end())
    assert (step.kind, step.id) == ("ask", "foam")
    assert step.why == "It is not cured yet, and this was not looked at. It comes before any look is made twice."
    assert "enough" in [choice.id for choice in step.choices]
    assert current(answer(at_the_end(), foam="fine")).id in CHECKS  # now a second look may show what the first missed
