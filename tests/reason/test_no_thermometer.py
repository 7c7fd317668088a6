"""Who has no thermometer: a drop of water permits richer and going home, and nothing is owed that needs one."""

from __future__ import annotations

from little import CHECKS, FAULTS, SOUND, answer, check, knowledge, shows, start

from diagnose.graph.model import Knowledge
from diagnose.reason import events as ev
from diagnose.reason.events import CANT_TELL, NO_TOOL
from diagnose.reason.walk import Walk

SPOT = check(
    "on the track",
    2,
    {"agree": CHECKS["hold"]["answers"]["fine"], "disagree": shows({"misreads": 0.9})},
    tools=["thermometer"],
    name="spot",
)


def known() -> Knowledge:
    misreads = {**FAULTS["froth"], "tool": "thermometer"}
    return knowledge(checks={**CHECKS, "spot": SPOT}, faults={**FAULTS, "misreads": misreads})


def owes(walk: Walk) -> bool:
    return "misreads" in walk.standing.first_owed


def heated(walk: Walk, **more: object) -> Walk:
    return walk.plus(ev.Prepared(0, "bring-to-heat", "ready", **more))  # type: ignore[arg-type]


def test_who_says_that_there_is_none_owes_no_look_at_it() -> None:
    walk = answer(start(known()), **SOUND)
    assert owes(walk)
    assert owes(answer(walk, spot=CANT_TELL))
    assert not owes(answer(walk, spot=NO_TOOL))
    assert not owes(heated(walk, drop=True))
    assert owes(heated(walk, head=95.0))


def test_what_is_not_there_holds_no_belief_and_misses_nothing_else() -> None:
    walk = answer(start(known()), **SOUND)
    without = answer(walk, spot=NO_TOOL)
    assert "misreads" not in without.standing.belief
    assert without.standing.first_owed == walk.standing.first_owed - {"misreads"}


def test_a_thermometer_that_was_borrowed_is_looked_at() -> None:
    walk = heated(answer(start(known()), **SOUND), drop=True)
    assert owes(heated(walk, head=95.0))
    assert owes(answer(walk, spot="disagree"))
