"""An engine that is known to be lean today goes back to its record, with what the day asks, before it runs."""

from __future__ import annotations

import pytest
from little import answer, current, start, warm

from diagnose.pages.owed import looks_owed
from diagnose.pages.parts import Paragraph
from diagnose.pages.step import step_page
from diagnose.reason import events as ev
from diagnose.reason.walk import Walk

LEAN = ev.Drift("not followed", "it stands lean of the day", 0.1, 0.45, 0.1, setting="lean")
OFF = {"barrel": "fine", "failsafe": "fine", "hold": "fine", "soap": "fine"}


def before_it_runs(drift: ev.Drift | None = LEAN, *, recorded: bool = True) -> Walk:
    """Return a walk in which the next look would run the engine."""
    return answer(start(recorded=recorded, drift=drift), **OFF)


def test_the_screws_go_home_before_anything_runs() -> None:
    step = current(before_it_runs())
    assert (step.kind, step.id, step.only) == ("restore", "going-back", ())
    assert step.why.startswith("The day asks for richer than it stands.")
    assert current(before_it_runs().plus(walk_home(before_it_runs()))).kind == "retest"


def walk_home(walk: Walk) -> ev.Event:
    return walk.choose(current(walk), "done", 10)


@pytest.mark.parametrize("drift", [None, ev.Drift("not followed", "rich", 0.1, 0.45, 0.1, setting="rich")])
def test_no_other_day_sends_them_home(drift: ev.Drift | None) -> None:
    assert current(before_it_runs(drift)).engine == "running"


def test_without_a_record_or_once_it_was_put_off_the_walk_goes_on() -> None:
    assert current(before_it_runs(recorded=False)).engine == "running"
    walk = before_it_runs()
    assert current(walk.plus(walk.choose(current(walk), "not now", 10))).engine == "running"


def test_what_is_looked_at_with_the_engine_off_is_looked_at_first() -> None:
    assert current(start(recorded=True, drift=LEAN)).kind == "ask"


def test_it_is_done_once() -> None:
    walk = before_it_runs()
    walk = walk.plus(walk_home(walk)).plus(ev.Retested(20, "same"))
    assert current(warm(walk, 20), 20).kind == "ask"


def test_that_it_is_not_started_yet_is_said_from_the_first_look_until_it_went_back() -> None:
    back = (ev.Target("high needle", 43.0, "High needle: 43 hours."),)
    walk = start(recorded=True, drift=LEAN, back=back)
    assert walk.view(0.0).lean == "it stands lean of the day. First it goes back to 43 hours"
    ready = answer(walk, **OFF)
    assert ready.view(0.0).lean
    assert ready.plus(walk_home(ready)).view(10.0).lean == ""
    assert start(recorded=True).view(0.0).lean == ""


def test_the_step_and_what_is_owed_say_it_in_their_first_lines() -> None:
    walk = start(recorded=True, drift=LEAN)
    said = "Do not start it yet: it stands lean of the day. First it goes back."
    for page in (
        step_page(walk.view(0.0), current(walk), walk.knowledge).asked,
        looks_owed(walk.view(0.0), walk.knowledge),
    ):
        assert said in [part.text for part in page[:2] if isinstance(part, Paragraph)]
