"""What was remembered is asked once: when its mend was tried in vain, it was looked for, and holds nothing up."""

from __future__ import annotations

from little import CHECKS, SOUND, answer, check, current, knowledge, shows, start

from diagnose.reason import events as ev
from diagnose.reason.walk import Walk


def mended(*, remembered: bool) -> Walk:
    """Return a walk in which what somebody remembered, or saw, has just been mended, and nothing else is owed."""
    bleeds = {"fine": CHECKS["hold"]["answers"]["fine"], "bleeds": shows({"line-off": 0.9})}
    hold = check("parked", 2, bleeds, name="hold", remembered=remembered)
    known = knowledge(checks={**CHECKS, "hold": hold})
    return answer(start(known), **{**SOUND, "hold": "bleeds"}, soap="fine").plus(ev.Mended(10, "line-off"))


def test_a_mend_that_only_the_past_had_asked_for_is_looked_for_once_it_was_tried() -> None:
    walk = mended(remembered=True)
    assert (current(walk, 10).kind, "line-off" in walk.standing.first_owed) == ("retest", True)
    walk = walk.plus(ev.Retested(20, "same"))
    assert "line-off" not in walk.standing.first_owed


def test_what_can_be_looked_at_again_is_looked_at_and_not_only_tried() -> None:
    walk = mended(remembered=False)
    assert (current(walk, 10).kind, current(walk, 10).id) == ("recheck", "hold")
    assert walk.state.unchecked == set()
