"""Questions that make sense: none presumes what the complaint excludes, memory is asked once, and no mend is undone."""

from __future__ import annotations

from collections.abc import Iterable

import pytest
from shipped import load

from diagnose.graph.model import Variant, every_variant
from diagnose.reason import events as ev
from diagnose.reason.play import usual
from diagnose.reason.steps import STOPPED
from diagnose.reason.view import Step
from diagnose.reason.walk import Walk, begin

KNOWLEDGE = load()
VARIANTS = [v for v in every_variant() if not v.air_screw]
BOX = Variant(needles=3, starter="box", run_in=True)


def started(symptom: str, engine: Variant = BOX) -> Walk:
    return begin(KNOWLEDGE, ev.Started(0.0, KNOWLEDGE.digest, symptom, "", engine, recorded=True))


def made(walk: Walk, said: dict[str, str], otherwise: str = "") -> Iterable[tuple[Walk, Step]]:
    """Yield each step to the end, the walk before it; what is not said is healthy, or `otherwise`."""
    for _ in range(130):
        step = walk.step(0.0)
        if step is None:
            return
        yield walk, step
        if step.kind in ("ask", "recheck"):
            choice = said.get(step.id) or otherwise or KNOWLEDGE.checks[step.id].healthy
            walk = walk.plus(ev.Answered(0.0, step.id, choice))
        else:
            walk = walk.plus(walk.choose(step, "same" if step.kind == "retest" else usual(step), 0.0))
    pytest.fail("the walk comes to no end")


@pytest.mark.parametrize("otherwise", ["", ev.CANT_TELL])
@pytest.mark.parametrize("symptom", sorted(KNOWLEDGE.symptoms))
def test_no_walk_asks_what_presumes_something_that_its_complaint_excludes(symptom: str, otherwise: str) -> None:
    asked = [
        (step.id, walk.symptom)
        for walk, step in made(started(symptom), {}, otherwise)
        if step.kind == "ask" and KNOWLEDGE.senseless(KNOWLEDGE.checks[step.id], walk.symptom)
    ]
    assert asked == []


@pytest.mark.parametrize(
    ("symptom", "check"),
    [
        ("dies-as-the-igniter-comes-off", "igniter-back-on"),
        ("dies-as-the-igniter-comes-off", "water-drop"),
        ("spins-but-never-fires", "bubbles"),
        ("spins-but-never-fires", "every-straight"),
        ("will-not-turn-over", "new-plug"),
        ("dies-within-a-minute", "oil-drop-at-base"),
        ("idles-too-high", "smoke-on-the-straight"),
        ("first-start", "every-straight"),
    ],
)
def test_what_makes_no_sense_is_not_offered_either(symptom: str, check: str) -> None:
    assert KNOWLEDGE.senseless(KNOWLEDGE.checks[check], symptom)
    walk = started(symptom)
    for guard in walk.scope.guards:
        walk = walk.plus(ev.Answered(0.0, guard, KNOWLEDGE.checks[guard].healthy))
    assert check not in dict(walk.askable())


def test_an_engine_that_lives_for_a_minute_is_looked_at_while_it_lives() -> None:
    assert not KNOWLEDGE.senseless(KNOWLEDGE.checks["bubbles"], "dies-within-a-minute")
    assert not KNOWLEDGE.senseless(KNOWLEDGE.checks["spare-air-filter"], "dies-as-the-igniter-comes-off")


def test_thinking_back_offers_no_tool_and_a_look_does() -> None:
    walk = started("spins-but-never-fires")
    for name, check in walk.scope.checks.items():
        offered = [choice.id for choice in walk.ask(name).choices]
        assert ev.CANT_TELL in offered
        assert (ev.NO_TOOL in offered) is not check.remembered


@pytest.mark.parametrize("symptom", sorted(KNOWLEDGE.symptoms))
def test_what_is_remembered_is_asked_once_also_of_who_is_not_sure(symptom: str) -> None:
    walk, asked = started(symptom), list[str]()
    for _ in range(130):
        step = walk.step(0.0)
        if step is None:
            break
        asked += [step.id] if step.kind in ("ask", "recheck") and KNOWLEDGE.checks[step.id].remembered else []
        if step.kind in ("ask", "recheck"):
            walk = walk.plus(ev.Answered(0.0, step.id, KNOWLEDGE.checks[step.id].healthy, sure=False))
        else:
            walk = walk.plus(walk.choose(step, "same" if step.kind == "retest" else usual(step), 0.0))
    assert len(asked) == len(set(asked))


def test_a_new_plug_is_tried_and_not_taken_out_again() -> None:
    walk = started("spins-but-never-fires").plus(ev.Answered(0.0, "igniter-on-spare-plug", "bright at once"))
    walk = walk.plus(ev.Answered(0.0, "plug-glows", "dark")).plus(ev.Mended(0.0, "plug-coil-broken"))
    assert (walk.state.recheck, walk.state.retest) == ([], "mend")
    walk = walk.plus(ev.Retested(0.0, "same", walk.symptom))
    assert "plug-coil-broken" not in walk.standing.first_open


def test_once_fresh_fuel_was_poured_nothing_asks_for_the_fuel_again() -> None:
    said = {"fuel-age": "old or open", "fresh-fuel": ev.NO_TOOL, "bottle-in-a-jar": "clear"}
    walk = started("spins-but-never-fires").plus(ev.Answered(0.0, "fuel-age", "old or open"))
    walk = walk.plus(ev.Mended(0.0, "fuel-old"))
    assert walk.state.retest == "mend"
    walk = walk.plus(ev.Retested(0.0, "same", walk.symptom))
    steps = [step.id for _, step in made(walk, said)]
    assert {"fuel-age", "fresh-fuel", "fuel-old"}.isdisjoint(steps)


def test_a_wet_filter_is_not_pulled_off_again_and_a_pressure_line_is_looked_at() -> None:
    walk = started("revs-hang").plus(ev.Answered(0.0, "filter-by-eye", "wet")).plus(ev.Mended(0.0, "air-filter-wet"))
    assert walk.state.recheck == []
    walk = started("revs-hang").plus(ev.Answered(0.0, "hold-and-stream", "bleeds away"))
    assert walk.plus(ev.Mended(0.0, "pressure-line-off")).state.recheck == ["hold-and-stream"]


def test_the_starter_comes_after_the_engine_was_stopped() -> None:
    walk = started("dies-within-a-minute")
    assert STOPPED not in walk.ask("fuel-reaches-carburettor").how
    for guard in walk.scope.guards:
        walk = walk.plus(ev.Answered(0.0, guard, KNOWLEDGE.checks[guard].healthy))
    walk = walk.plus(ev.Prepared(0.0, "close-up", "ready"))
    walk = walk.plus(ev.Answered(0.0, "bubbles", KNOWLEDGE.checks["bubbles"].healthy))
    assert walk.ask("fuel-reaches-carburettor").how[0] == STOPPED
    assert walk.ask("along-the-lines").how[0] == STOPPED
    assert STOPPED not in walk.ask("igniter-back-on").how
    assert STOPPED not in walk.ask("fuel-age").how


def test_what_does_not_slip_is_told_so_after_one_look_and_where_it_belongs() -> None:
    walk = started("revs-but-does-not-pull")
    guards = walk.scope.guards
    steps = [step for _, step in made(walk, {"sound-without-speed": "stays low"})]
    assert [step.id for step in steps[:3]] == [*guards, "sound-without-speed"]
    assert sum(step.minutes for step in steps if step.id not in guards) <= 5
    assert steps[-1].kind == "refer"
    assert set(steps[-1].see) == {"bogs-off-the-line", "will-not-rev-out", "overheats"}


def test_an_ear_that_was_wrong_is_put_right_by_a_wheel_that_is_held() -> None:
    said = {"sound-without-speed": "stays low", "drive-held": "tyre turns"}
    assert "tyre-slips" in [step.id for _, step in made(started("revs-but-does-not-pull"), said)]


def test_what_another_answer_told_is_not_asked_and_counts_as_a_look() -> None:
    walk = started("dies-within-a-minute")
    assert "fuel-not-reaching" in walk.standing.first_open
    walk = walk.plus(ev.Answered(0.0, "bubbles", "clear"))
    assert walk.state.implied(walk.scope) == {"fuel-reaches-carburettor": "solid column"}
    assert "fuel-not-reaching" not in walk.standing.first_open
    assert "fuel-reaches-carburettor" not in [step.id for _, step in made(walk, {})]
    assert started("dies-within-a-minute").plus(ev.Answered(0.0, "bubbles", "clear", sure=False)).standing.implied == {}


def test_what_was_told_before_a_mend_is_told_no_more() -> None:
    walk = started("stops-at-random").plus(ev.Prepared(0.0, "bring-to-heat", "ready", head=95.0))
    assert "water-drop" in walk.standing.implied
    assert "water-drop" not in walk.plus(ev.Mended(0.0, "over-cooled")).standing.implied


def test_a_route_takes_the_branch_of_what_was_told() -> None:
    asked = [
        step.id
        for _, step in made(started("stops-at-random").plus(ev.Answered(0.0, "needle-count", "as recorded")), {})
    ]
    assert "paint-marks" not in asked
