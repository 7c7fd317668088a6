"""A plug that stays dark: the igniter is told from the plug, and neither explains what it can't."""

from __future__ import annotations

import pytest
from little import CHECKS, FAULTS, FINE, answer, check, current, fault, knowledge, shows, start
from shipped import load

from diagnose.graph.model import Knowledge, Variant, every_variant
from diagnose.reason import events as ev
from diagnose.reason.walk import Walk, begin

KNOWLEDGE = load()
GLOWS, IGNITER, PLUG = "plug-glows", "igniter-on-spare-plug", "plug-coil-broken"
VARIANTS = [v for v in every_variant() if not v.air_screw]
SHOWN = "{symptom} on {engine}"


def dark(symptom: str, variant: Variant, said: str) -> tuple[Walk, list[str]]:
    """Walk with everything healthy but the glow, with `said` of the igniter; return the ids of asks and mends."""
    walk = begin(KNOWLEDGE, ev.Started(0.0, KNOWLEDGE.digest, symptom, "", variant))
    done: list[str] = []
    for _ in range(120):
        step = walk.step(0.0)
        if step is None:
            return walk, done
        done.append(step.id if step.kind != "mend" else f"mend {step.id}")
        if step.kind in ("ask", "recheck"):
            mended = f"mend {PLUG}" in done
            healthy = KNOWLEDGE.checks[step.id].healthy
            choice = {GLOWS: "glows" if mended else "dark", IGNITER: said}.get(step.id, healthy)
            check = KNOWLEDGE.checks[step.id]
            if check.reading is not None:
                walk = walk.plus(ev.Answered(0.0, step.id, choice))
                continue
        else:
            choice = "same" if step.kind == "retest" else step.choices[0].id
        walk = walk.plus(walk.choose(step, choice, 0.0))
    return walk, done


@pytest.mark.parametrize("symptom", sorted(KNOWLEDGE.symptoms))
@pytest.mark.slow
def test_a_dark_plug_is_renewed_only_after_the_igniter_was_tried_and_where_one_of_them_explains_it(
    symptom: str,
) -> None:
    for variant in VARIANTS:
        walk, done = dark(symptom, variant, "bright at once")
        mends = [number for number, one in enumerate(done) if one == f"mend {PLUG}"]
        here = KNOWLEDGE.explaining(walk.standing.symptom_id, variant).keys()
        if mends:
            assert IGNITER in done[: mends[0]]
            assert here & {PLUG, "igniter-flat"}


@pytest.mark.parametrize("symptom", sorted(KNOWLEDGE.symptoms))
def test_a_plug_that_is_found_dark_where_nothing_asks_for_it_is_no_mend(symptom: str) -> None:
    for variant in VARIANTS:
        walk = begin(KNOWLEDGE, ev.Started(0.0, KNOWLEDGE.digest, symptom, "", variant))
        walk = walk.plus(ev.Answered(0.0, IGNITER, "bright at once")).plus(ev.Answered(0.0, GLOWS, "dark"))
        explained = KNOWLEDGE.explaining(walk.standing.symptom_id, variant).keys() & {PLUG, "igniter-flat"}
        assert (PLUG in walk.standing.accused) == bool(explained)


def test_where_it_never_fires_a_dark_plug_is_found_and_renewed() -> None:
    _, done = dark("spins-but-never-fires", Variant(), "bright at once")
    assert f"mend {PLUG}" in done


def test_a_flat_igniter_keeps_the_plug_from_being_thrown_away() -> None:
    walk = begin(KNOWLEDGE, ev.Started(0.0, KNOWLEDGE.digest, "spins-but-never-fires", "", Variant()))
    for name, said in ((GLOWS, "dark"), (GLOWS, "dark"), (IGNITER, "dull or slow"), (IGNITER, "dull or slow")):
        walk = walk.plus(ev.Answered(0.0, name, said))
    step = current(walk)
    assert (step.kind, step.id) == ("mend", "igniter-flat")
    put_off = walk.plus(walk.choose(step, "not now", 0.0))
    for _ in range(60):
        step = current(put_off)
        assert (step.kind, step.id) != ("mend", PLUG)
        if step.kind != "ask":
            break
        put_off = put_off.plus(ev.Answered(0.0, step.id, KNOWLEDGE.checks[step.id].healthy))


def waiting() -> Knowledge:
    """Return the little knowledge in which a mend waits for a check that looks the same."""
    source = check("parked", 1, {"fine": FINE, "flat": shows({"flat": 0.9})}, name="source")
    glow = check("parked", 1, {"fine": FINE, "dark": shows({"dead": 0.95})}, name="glow")
    dead = fault("ignition", 3, mend={"after": ["source"], "do": ["Renew it."], "minutes": 0.1})
    flat = fault("ignition", 0, mend={"do": ["Charge it."]})
    return knowledge(checks={**CHECKS, "source": source, "glow": glow}, faults={**FAULTS, "dead": dead, "flat": flat})


def test_a_mend_waits_for_the_check_that_it_names() -> None:
    walk = answer(start(waiting()), barrel="fine", failsafe="fine", glow="dark")
    assert (current(walk).kind, current(walk).id) == ("ask", "source")
    assert current(answer(walk, source="fine")).id == "dead"


def test_what_the_awaited_check_shows_is_put_right_first() -> None:
    walk = answer(start(waiting()), barrel="fine", failsafe="fine", glow="dark")
    walk = answer(walk, source="flat")
    assert current(walk).id != "dead"
    assert "dead" in walk.standing.accused


@pytest.mark.parametrize("said", ["can't tell", "no tool now"])
def test_an_awaited_check_that_cannot_be_made_holds_nothing_up(said: str) -> None:
    walk = answer(start(waiting()), barrel="fine", failsafe="fine", glow="dark")
    assert (current(answer(walk, source=said)).kind, current(answer(walk, source=said)).id) == ("mend", "dead")


def test_an_awaited_check_that_nobody_was_sure_of_is_made_once_more() -> None:
    walk = answer(start(waiting()), barrel="fine", failsafe="fine", glow="dark")
    walk = answer(walk, sure=False, source="fine")
    assert current(walk).id == "hold"  # another look comes between two of the same
    walk = answer(walk, hold="fine")
    assert (current(walk).kind, current(walk).id) == ("ask", "source")
    assert current(answer(walk, sure=False, source="fine")).kind == "mend"
