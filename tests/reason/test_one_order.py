"""The walk and the list of what is owed keep one order, guards first, and count a round once."""

from __future__ import annotations

import pytest
from shipped import load

from diagnose.graph.model import Variant
from diagnose.reason import events as ev
from diagnose.reason.case_names import CaseAnswer
from diagnose.reason.explain import minutes_left, owed_plan, view
from diagnose.reason.play import play, usual
from diagnose.reason.view import Step
from diagnose.reason.walk import Walk, begin

KNOWLEDGE = load()
ENGINES = [Variant(), Variant(needles=2, starter="pull", run_in=False)]


def at_start(symptom: str, engine: Variant = ENGINES[0]) -> Walk:
    return begin(KNOWLEDGE, ev.Started(0.0, KNOWLEDGE.digest, symptom, "", engine))


def healthy(walk: Walk, step: Step) -> CaseAnswer | None:
    if step.kind == "ask":
        return walk.scope.checks[step.id].healthy
    return usual(step) if step.kind == "prepare" else None


def walked(walk: Walk) -> list[str]:
    """Return the looks of a walk in which everything is healthy, till it comes to something else."""
    return list(dict.fromkeys(made.step.id for made in play(walk, healthy) if made.step.kind == "ask"))


@pytest.mark.parametrize("symptom", KNOWLEDGE.symptoms)
@pytest.mark.parametrize("engine", ENGINES, ids=["run in", "new"])
def test_the_walk_makes_the_owed_looks_in_the_order_of_the_list(symptom: str, engine: Variant) -> None:
    walk = at_start(symptom, engine)
    listed = [look.id for look in owed_plan(walk)]
    made = walked(walk)
    assert listed[:2] == made[:2] == ["barrel-at-rest", "fail-safe-closes"]
    assert [name for name in made if name in listed] == [name for name in listed if name in made]


@pytest.mark.parametrize("symptom", ["revs-hang", "stops-at-random", "fuel-comes-out"])
def test_a_healthy_answer_takes_its_line_off_the_list_and_leaves_the_others_where_they_stand(symptom: str) -> None:
    walk = at_start(symptom)
    left = [look.id for look in owed_plan(walk)]
    for made in play(walk, healthy):
        now = [look.id for look in owed_plan(made.walk)]
        left = [name for name in left if name != made.step.id]
        assert now[: len(left)] == left  # what has grown likelier meanwhile comes behind them
    assert not left


def test_a_deadline_and_a_note_leave_the_order_as_it_is() -> None:
    walk = next(made.walk for made in play(at_start("overheats"), healthy) if made.step.id == "oil-trace")
    listed = [look.id for look in owed_plan(walk)]
    for event in (ev.Deadline(9.0, 30.0), ev.Noted(9.0, "windy")):
        assert [look.id for look in owed_plan(walk.plus(event))] == listed


def test_the_deadline_keeps_the_order_of_what_it_has_room_for() -> None:
    walk = at_start("overheats")
    listed = [look.id for look in owed_plan(walk)]
    some = [line.check for line in view(walk.plus(ev.Deadline(0.0, 8.0)), 0.0).owed]
    assert 2 < len(some) < len(listed)
    assert some == [name for name in listed if name in some]


def test_the_minutes_of_a_round_count_once() -> None:
    walk = at_start("idles-too-high")
    looks = owed_plan(walk)
    assert set(KNOWLEDGE.rounds["both-guards"].checks) < {look.id for look in looks}
    apart = minutes_left(walk, [look._replace(line=None) for look in looks])
    assert apart == pytest.approx(
        sum(look.minutes for look in looks) + 2 * walk.scope.change("parked", "running on the stand")
    )
    assert view(walk, 0.0).minutes_left < apart - 0.5


def test_a_line_takes_its_share_after_a_line_of_the_same_round_and_its_own_minutes_after_any_other() -> None:
    walk = at_start("idles-too-high")
    barrel, fail_safe = walk.scope.guards
    alone = walk.ask(fail_safe).minutes
    after = walk.plus(ev.Answered(1.0, barrel, walk.scope.checks[barrel].healthy))
    assert (alone, after.ask(fail_safe).minutes) == (1.0, 0.5)
    elsewhere = after.plus(ev.Answered(2.0, "oil-trace", walk.scope.checks["oil-trace"].healthy))
    assert elsewhere.ask(fail_safe).minutes == 1.0


def test_what_comes_before_in_the_order_of_the_hands_takes_its_own_minutes() -> None:
    walk = at_start("idles-too-high")
    later = walk.plus(ev.Answered(1.0, "wiggle-and-roll", walk.scope.checks["wiggle-and-roll"].healthy))
    assert later.ask("oil-trace").minutes == KNOWLEDGE.checks["oil-trace"].minutes


def test_each_line_of_a_round_is_an_answer_of_its_own() -> None:
    lines = KNOWLEDGE.rounds["round-the-car"].checks
    walks = [made for made in play(at_start("overheats"), healthy) if made.step.id in lines]
    told = [made.event.check for made in walks[:7] if isinstance(made.event, ev.Answered)]
    assert told == [name for name in lines if name in told]
    assert all(
        walk.walk.state.answers.keys() - walk.before.state.answers.keys() == {walk.step.id} for walk in walks[:7]
    )


def test_while_a_finding_grounds_it_no_look_between_tries_the_same_danger_otherwise() -> None:
    walk = at_start("stops-at-random")
    for guard in walk.scope.guards:
        walk = walk.plus(ev.Answered(0.0, guard, walk.scope.checks[guard].healthy))
    step = walk.plus(ev.Answered(1.0, "both-servos", "swollen")).step(1.0)
    assert step is not None
    assert step.id not in ("both-servos", "battery-under-load")
