"""A screw that is set at the bench waits for what is owed, as a needle does, and no engine runs meanwhile."""

from __future__ import annotations

import pytest
from little import CHECKS, FAULTS, answer, check, current, fault, knowledge, shows, start
from shipped import load

from diagnose.graph.model import Knowledge, Variant
from diagnose.reason import events as ev
from diagnose.reason.walk import begin

OFF = {"screw": "idle stop", "setting": "shut", "kind": "screw"}


def known(**mend: object) -> Knowledge:
    """A look at the gap shows the idle stop; others that are owed need the engine off, or running."""
    gap = check("parked", 1, {"fine": CHECKS["hold"]["answers"]["fine"], "narrow": shows({"stop-shut": 0.9}, 0.01)})
    stop = fault("needles", 4, mend={"do": ["Set it."], **mend}, **OFF)
    return knowledge(checks={**CHECKS, "gap": gap}, faults={**FAULTS, "stop-shut": stop})


@pytest.mark.parametrize("mend", [{}, {"back": True}])
def test_a_screw_is_set_only_once_the_looks_that_are_owed_with_the_engine_off_are_made(mend: dict[str, object]) -> None:
    walk = answer(start(known(**mend)), barrel="fine", failsafe="fine", gap="narrow")
    assert (current(walk).kind, current(walk).id) == ("ask", "hold")
    walk = answer(walk, hold="fine")
    walk = answer(walk, gap="narrow") if current(walk).id == "gap" else walk
    assert current(walk).id == "stop-shut"  # bubbles and the new plug would want it running


def test_what_is_owed_and_found_is_mended_before_the_screw() -> None:
    walk = answer(start(known()), barrel="fine", failsafe="fine", gap="narrow", hold="bleeds", soap="suds")
    assert current(walk).id == "lid-leaks"


def test_the_gap_of_an_engine_that_dies_braking_waits_for_the_cheap_looks() -> None:
    shipped = load()
    walk = begin(shipped, ev.Started(0.0, shipped.digest, "dies-braking-landing-or-cornering", "", Variant()))
    walk = walk.plus(ev.Answered(0.0, "barrel-at-rest", "gap too narrow"))
    seen: list[str] = []
    while (step := current(walk)).kind == "ask":
        assert step.engine == "off"
        seen.append(step.id)
        walk = walk.plus(
            walk.choose(step, shipped.checks[step.id].healthy if step.id != "barrel-at-rest" else "gap too narrow", 0.0)
        )
    assert step.id == "idle-stop-shut"
    assert {"each-servo-alone", "wiggle-and-roll", "hold-and-stream"} & set(seen)
    assert len(seen) > 5


def test_the_idle_stop_goes_to_the_gap_that_this_engine_has_on_its_record() -> None:
    target = ev.Target("idle stop", 0.0, "Idle stop: set it to a gap of 0.7 mm, as recorded.", "caliper")
    shipped = load()
    walk = begin(
        shipped,
        ev.Started(0.0, shipped.digest, "creeps-at-idle", "blue", Variant(own={"idle-gap": 0.7}), back=(target,)),
    )
    step = walk.decision.steps.mend("idle-stop-open", "")
    assert target.said in step.how
    assert "0.7 mm just slides through." in " ".join(step.how)
    assert target.said not in walk.decision.steps.mend("fins-packed", "").how
