"""A mend that is not likely waits: for what is owed, for a third look at what is likelier, for opening it up first."""

from __future__ import annotations

from typing import Any

from little import CHECKS, FAULTS, FINE, ROUTE, SOUND, answer, check, current, fault, knowledge, raw, shows, start

from diagnose.graph.model import Knowledge
from diagnose.reason.walk import Walk

LONG = {"minutes": 30}


def known(faults: dict[str, Any], checks: dict[str, Any]) -> Knowledge:
    """Return the little knowledge with more faults and checks, and a sweep that looks for them."""
    mends = {name: {**one, "mend": {"do": [f"Mend {name}."], **one["mend"]}} for name, one in faults.items()}
    sweep = {**ROUTE["outside"], "sweep": ["seals", *ROUTE["outside"]["sweep"]]}  # type: ignore[misc]
    symptom = {**raw()["symptoms"]["loads-up"], "route": {**ROUTE, "outside": sweep}}
    return knowledge(faults={**FAULTS, **mends}, checks={**CHECKS, **checks}, symptoms={"loads-up": symptom})


def smelt(mend: dict[str, Any], weight: float = 0.5) -> Walk:
    """Return a walk on which one vague look has shown a fault twice, and nothing else was looked at."""
    faults = {"odd": fault("seals", weight, mend=mend)}
    smell = check("parked", 0.5, {"fine": FINE, "smells": shows({"odd": 0.7}, 0.12)}, name="smell")
    walk = answer(start(known(faults, {"smell": smell})), barrel="fine", failsafe="fine", smell="smells")
    return answer(walk, smell="smells")


def test_a_long_mend_of_what_is_hardly_believed_waits_for_quicker_looks_that_are_owed() -> None:
    walk = smelt(LONG)
    assert "odd" in walk.standing.accused
    assert walk.standing.chances["odd"] < 0.5
    step = current(walk)
    assert (step.kind, step.id) == ("ask", "hold")


def test_it_is_mended_once_those_are_sound() -> None:
    walk = answer(smelt(LONG), hold="fine", bubbles="fine", new_plug="same")
    step = current(walk)
    assert (step.kind, step.id) == ("mend", "odd")


def test_a_mend_that_is_quicker_than_the_look_does_not_wait() -> None:
    step = current(smelt({"minutes": 0.1}))
    assert (step.kind, step.id) == ("mend", "odd")


WORN = {"worn": fault("seals", 3, mend={"minutes": 90}), "shims": fault("seals", 1, mend=LONG)}
SQUEEZE = {
    "squeeze": check("parked", 1, {"fine": FINE, "weak": shows({"worn": 0.7, "shims": 0.6}, 0.06)}, name="squeeze"),
    "oil": check("parked", 4, {"fine": FINE, "firmer": shows({"worn": 0.7}, 0.06)}, name="oil"),
    "warm-squeeze": check(
        "running on the stand", 2, {"fine": FINE, "weak": shows({"worn": 0.7}, 0.06)}, name="warm squeeze"
    ),
}
GAP = {"gap": check("plug out", 8, {"fine": FINE, "off": shows({"shims": 0.9}, 0.03)}, look="strip", name="gap")}


def squeezed(checks: dict[str, Any], **more: str) -> Walk:
    """Return a walk on which one look has twice shown two faults, and another has acquitted the likelier one."""
    walk = answer(start(known(WORN, checks)), **SOUND, squeeze="weak", oil="fine")
    return answer(walk, squeeze="weak", **more)


def test_what_one_look_has_shown_and_another_has_not_is_looked_at_a_third_time_before_a_less_likely_mend() -> None:
    walk = squeezed(SQUEEZE)
    assert walk.standing.accused.keys() == {"shims"}
    assert walk.standing.chances["worn"] > walk.standing.chances["shims"]
    step = current(walk)
    assert (step.kind, step.id) == ("ask", "warm-squeeze")


def test_a_long_mend_in_doubt_is_not_begun_before_the_strip_down_that_costs_less() -> None:
    walk = squeezed({**SQUEEZE, **GAP}, warm_squeeze="fine")
    step = current(walk)
    assert (step.kind, step.id) == ("ask", "gap")
    assert current(answer(walk, gap="off")).id == "shims"


def test_what_the_strip_down_does_not_show_is_not_mended() -> None:
    walk = squeezed({**SQUEEZE, **GAP}, warm_squeeze="fine", gap="fine")
    assert "shims" not in walk.standing.accused
    assert current(walk).kind != "mend"
