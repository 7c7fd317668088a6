"""A step that would puzzle says first why it comes: one asked before, and one that undoes what somebody set."""

from __future__ import annotations

import pytest
from little import SOUND, answer, current, start

from diagnose.pages.step import step_page
from diagnose.reason import events as ev
from diagnose.reason.walk import Walk
from diagnose.screens.widgets.rendered import rendered


def read(walk: Walk) -> str:
    step = current(walk)
    return rendered(step_page(walk.view(0), step, walk.knowledge).text, 200).plain


def test_a_check_asked_for_the_first_time_begins_with_how_to_look() -> None:
    walk = start()
    assert read(walk).startswith("· ")
    assert read(walk).count(current(walk).why) == 1


@pytest.mark.parametrize("kind", ["again", "recheck"])
def test_a_check_asked_once_more_begins_with_the_reason_and_says_it_once(kind: str) -> None:
    walk = answer(start(), **SOUND | {"bubbles": "bubbles"})
    walk = walk.plus(ev.Mended(0, "froth")) if kind == "recheck" else answer(walk, bubbles="fine", soap="fine")
    step = current(walk)
    assert step.id == "bubbles"
    assert read(walk).startswith(step.why)
    assert read(walk).count(step.why) == 1


def test_going_back_begins_with_the_reason() -> None:
    assert start(recorded=True).decision.steps.prepare("going-back", "Because.").why_first
    assert not start().decision.steps.prepare("let-it-cool", "Because.").why_first
