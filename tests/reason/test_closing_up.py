"""Nothing cranks or runs the engine with something open: the walk closes up first, by what was really done."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec
import pytest
from shipped import load

from diagnose.errors import DiagnoseError
from diagnose.graph.model import CLOSE, Variant
from diagnose.reason import events as ev
from diagnose.reason.view import Step
from diagnose.reason.walk import Walk, begin

KNOWLEDGE = load()


def started(symptom: str, *said: ev.Event, left: Sequence[str] = ()) -> Walk:
    walk = begin(KNOWLEDGE, ev.Started(0.0, KNOWLEDGE.digest, symptom, "", Variant(), open=tuple(left)))
    for event in said:
        walk = walk.plus(event)
    return walk


def on(walk: Walk, said: dict[str, str], most: int = 60) -> tuple[Walk, Step]:
    """Go on, healthy where nothing is said, until the engine is closed up or turns."""
    for _ in range(most):
        step = walk.step(0.0)
        assert step is not None
        if step.id == CLOSE or step.engine != "off":
            return walk, step
        healthy = KNOWLEDGE.checks[step.id].healthy if step.kind in ("ask", "recheck") else step.choices[0].id
        walk = walk.plus(walk.choose(step, said.get(step.id, healthy) if step.kind == "ask" else healthy, 0.0))
    raise AssertionError("nothing turns the engine")


def test_before_the_starter_turns_the_walk_lists_what_its_own_looks_left_open() -> None:
    walk, step = on(started("spins-but-never-fires"), {})
    assert walk.state.open == ("air-filter", "plug")  # the next look has the plug out, if it is made
    assert step.id == CLOSE
    assert step.how[:2] == ("Air filter on, tight all round.", "Plug in and snug, with its washer.")
    walk = walk.plus(walk.choose(step, "ready", 0.0))
    assert walk.state.open == ()
    after = walk.step(0.0)
    assert after is not None
    assert (after.kind, after.engine) == ("ask", "cranking")


def test_what_was_never_opened_is_not_listed() -> None:
    _, step = on(started("spins-but-never-fires"), {"plug-glows": ev.NO_TOOL, "plug-out": ev.NO_TOOL})
    assert step.id == CLOSE
    assert not any("Plug in" in line for line in step.how)


def test_a_look_that_nobody_could_finish_may_have_been_left_half_open() -> None:
    walk = started("spins-but-never-fires", ev.Answered(0.0, "hold-and-stream", ev.CANT_TELL))
    assert set(walk.state.open) == {"tank-lid", "pressure-line", "fuel-line", "line-clamp"}
    done = started("spins-but-never-fires", ev.Answered(0.0, "hold-and-stream", "holds and streams"))
    assert done.state.open == ()


def test_taking_back_an_answer_puts_no_plug_back() -> None:
    walk = started("spins-but-never-fires", ev.Answered(0.0, "plug-out", "sound"))
    assert walk.state.open == ("plug",)
    assert walk.plus(ev.Retracted(0.0, 1)).state.open == ("plug",)


def test_a_mend_that_had_to_stop_half_way_leaves_open_what_it_took_off() -> None:
    walk = started("spins-but-never-fires", ev.Answered(0.0, "plug-out", "wet"))
    walk = walk.plus(ev.Prepared(0.0, CLOSE, "ready"))
    step = walk.decision.steps.mend("flooded", "")
    assert [one.id for one in step.choices] == ["done", "not now", "begun"]
    assert walk.plus(walk.choose(step, "not now", 0.0)).state.open == ()
    assert set(walk.plus(walk.choose(step, "begun", 0.0)).state.open) == {
        *("plug", "line-clamp"),  # the fuel is blown out
        *("tank-lid", "pressure-line"),  # and the tank drawn down, where it came from there
    }


@pytest.mark.parametrize(("what", "line"), [("opened", "whatever was opened"), ("crashed", "nothing torn off")])
def test_after_a_crash_or_an_opening_that_nobody_saw_the_car_is_gone_over(what: ev.Incident, line: str) -> None:
    walk = started("loads-up-at-idle", ev.Answered(0.0, "read-label", "as asked"), ev.Happened(60.0, what))
    _, step = on(walk, {})
    assert step.id == CLOSE
    assert any(told.lower().startswith(line) for told in step.how)


def test_both_guards_are_owed_again_once_the_throttle_rod_was_off() -> None:
    guards = [ev.Answered(0.0, guard, KNOWLEDGE.checks[guard].healthy) for guard in started("revs-hang").scope.guards]
    walk = started("revs-hang", *guards)
    assert all(walk.state.healthy(walk.scope, guard) for guard in walk.scope.guards)
    off = walk.plus(ev.Answered(0.0, "rod-off-snaps-shut", KNOWLEDGE.checks["rod-off-snaps-shut"].healthy))
    assert not any(off.state.healthy(off.scope, guard) for guard in off.scope.guards)
    back = walk.plus(ev.Answered(0.0, "carburettor-pressure-test", "holds"))
    assert not any(back.state.healthy(back.scope, guard) for guard in back.scope.guards)


def test_no_guard_is_asked_while_what_it_looks_at_is_off() -> None:
    off = ev.Answered(0.0, "rod-off-snaps-shut", KNOWLEDGE.checks["rod-off-snaps-shut"].healthy)
    walk = started("revs-hang", off)
    for _ in range(40):
        step = walk.step(0.0)
        assert step is not None
        if step.id == CLOSE:
            break
        assert step.id not in walk.scope.guards
        healthy = KNOWLEDGE.checks[step.id].healthy if step.kind in ("ask", "recheck") else step.choices[0].id
        walk = walk.plus(walk.choose(step, healthy, 0.0))
    assert step is not None
    assert any(line.startswith("Throttle rod on") for line in step.how)
    guard = walk.scope.guards[0]
    early = walk.plus(ev.Answered(0.0, guard, KNOWLEDGE.checks[guard].healthy))  # out of turn, with the rod off
    closed = early.plus(ev.Prepared(0.0, CLOSE, "ready"))
    assert not closed.state.healthy(closed.scope, guard)


def test_taking_back_that_a_mend_was_begun_puts_nothing_back() -> None:
    walk = started("revs-hang", ev.Deferred(0.0, "linkage-binds", begun=True))
    assert walk.state.open == ("throttle-rod",)
    assert walk.plus(ev.Retracted(0.0, 1)).state.open == ("throttle-rod",)


def test_a_locked_engine_is_not_cranked() -> None:
    """The starter turns nothing that grounds the engine, but for the mend that frees it."""
    walk = started("will-not-turn-over")
    locked = next(key for key, answer in KNOWLEDGE.checks["turns-freely"].answers.items() if answer.grounds)
    walk = walk.plus(ev.Answered(0.0, "turns-freely", locked)).plus(ev.Deferred(0.0, "flooded"))
    walk = walk.plus(ev.Answered(0.0, "plug-out", ev.NO_TOOL))
    for _ in range(60):
        step = walk.step(0.0)
        assert step is not None
        assert step.engine == "off" or step.kind == "mend"
        if step.kind == "refer":
            return
        choice = {"mend": "not now", "prepare": "ready"}.get(step.kind, ev.CANT_TELL)
        walk = walk.plus(walk.choose(step, choice, 0.0))
    raise AssertionError("it is never handed over")


def test_the_gate_refuses_what_runs_the_engine_with_the_plug_out() -> None:
    walk = started("loads-up-at-idle", ev.Answered(0.0, "plug-out", "sound"))
    with pytest.raises(DiagnoseError, match="close up before the engine turns: the plug is out"):
        walk.plus(ev.Answered(0.0, "bubbles", "clear"))
    with pytest.raises(DiagnoseError, match="the plug is out"):
        walk.plus(ev.Prepared(0.0, "bring-to-heat", "ready", head=95.0))
    closed = walk.plus(ev.Prepared(0.0, CLOSE, "ready"))
    assert closed.plus(ev.Prepared(0.0, "bring-to-heat", "ready", head=95.0)).state.heat is not None


def test_what_needs_the_plug_out_says_why_and_is_not_refused() -> None:
    walk = started("will-not-turn-over", ev.Answered(0.0, "crank-by-feel", "smooth"))
    step = walk.ask("plug-out-versus-in")
    assert step.engine == "cranking"
    assert step.how[0].startswith("The plug is out, and that is right here.")
    brisk = KNOWLEDGE.checks["plug-out-versus-in"].healthy
    assert walk.plus(ev.Answered(0.0, "plug-out-versus-in", brisk)).state.open == ()


def test_who_cannot_close_up_is_asked_for_nothing_that_turns_the_engine() -> None:
    walk, step = on(started("spins-but-never-fires"), {"plug-glows": "dark"})
    walk = walk.plus(walk.choose(step, "won't run", 0.0))
    for _ in range(60):
        step_now = walk.step(0.0)
        assert step_now is not None
        assert step_now.engine == "off"
        if step_now.kind == "refer":
            assert "the air filter is off" in step_now.ask
            return
        healthy = step_now.choices[0].id if step_now.kind != "ask" else KNOWLEDGE.checks[step_now.id].healthy
        walk = walk.plus(walk.choose(step_now, healthy, 0.0))
    raise AssertionError("it is never handed over")


def test_what_the_last_outing_left_open_is_closed_before_the_next_one_runs() -> None:
    walk = started("loads-up-at-idle", left=("clutch-bell",))
    _, step = on(walk, {})
    assert step.id == CLOSE
    assert "Clutch bell on with its shims, free to turn." in step.how
    assert "the clutch bell is off" in walk.view(0.0).open


@pytest.mark.parametrize("name", sorted(KNOWLEDGE.symptoms))
def test_every_step_says_first_what_the_engine_does(name: str) -> None:
    walk, seen = started(name), set()
    for _ in range(40):
        step = walk.step(0.0)
        if step is None:
            break
        assert step.engine_line.startswith(f"Engine {step.engine}")
        assert step.text().startswith(step.engine_line)
        seen.add(step.engine)
        healthy = KNOWLEDGE.checks[step.id].healthy if step.kind in ("ask", "recheck") else step.choices[0].id
        walk = walk.plus(walk.choose(step, healthy, 0.0))
    assert "off" in seen


def test_a_needle_step_stops_the_engine_first_and_says_where_the_screw_sits() -> None:
    heat = ev.Prepared(0.0, "bring-to-heat", "ready", head=95.0)
    walk = started("loads-up-at-idle", heat)
    node = next(
        n for n in KNOWLEDGE.symptoms["loads-up-at-idle"].route.values() if getattr(n, "adjust", "") == "low needle"
    )
    step = walk.decision.turns.adjust(node, "")  # type: ignore[arg-type]
    assert step.engine == "off"
    assert step.ask.startswith("Stop the engine.")
    assert any("low needle sits in the end of the barrel" in line for line in step.how)
    assert any("No screwdriver comes near a flywheel that turns" in line for line in step.how)


def test_without_the_label_of_the_plug_the_engine_would_run_with_it_out() -> None:
    """The oracle of the random walks sees a label that is taken out: what it asserts can fail."""
    checks = {**KNOWLEDGE.checks}
    checks["plug-out"] = msgspec.structs.replace(checks["plug-out"], takes_off=())
    blind = msgspec.structs.replace(KNOWLEDGE, checks=checks)
    walk = begin(blind, ev.Started(0.0, "", "loads-up-at-idle", "", Variant()))
    assert walk.plus(ev.Answered(0.0, "plug-out", "sound")).state.open == ()


def test_the_last_word_waits_for_what_is_open() -> None:
    """Who can't close up stays out; who can is told what to close before the race."""
    walk = started("will-not-rev-out", ev.Deadline(0.0, 20.0))
    for _ in range(200):
        step = walk.step(0.0)
        assert step is not None
        if step.engine != "off" or step.id == CLOSE:
            break
        healthy = KNOWLEDGE.checks[step.id].healthy if step.kind in ("ask", "recheck") else step.choices[0].id
        walk = walk.plus(walk.choose(step, healthy, 0.0))
    assert step is not None
    assert step.id == CLOSE
    put_off = walk.plus(walk.choose(step, "won't run", 0.0)).view(0.0)
    assert put_off.last_word == "stay out"
    assert "Not closed up: the air filter is off" in put_off.last_word_because
