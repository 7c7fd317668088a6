"""How it is said that nothing is wrong: plainly, with what was looked at, and with no word of handing over."""

from __future__ import annotations

from typing import Any

from little import FAULTS, ROUTE, SOUND, answer, current, knowledge, raw, start, warm

from diagnose.graph.model import Knowledge
from diagnose.pages.end import HEADINGS, end_page
from diagnose.pages.parts import Line, Page, Paragraph
from diagnose.pages.step import step_page
from diagnose.reason import events as ev
from diagnose.reason.carry import ends
from diagnose.reason.hand_over import PLEASE
from diagnose.reason.walk import Walk


def normal(**more: Any) -> Knowledge:
    symptoms = raw()["symptoms"]
    pinch = {**ROUTE["pinch"], "branches": {**ROUTE["pinch"]["branches"], "short climb": "well"}}
    end = {"node": "refer", "refer": "It is only oily.", "nothing wrong": True}
    symptoms["loads-up"]["route"] = {**ROUTE, "pinch": pinch, "well": end}
    return knowledge(symptoms=symptoms, **more)


def said(page: Page) -> list[str]:
    return [part.text for part in page if isinstance(part, Paragraph | Line)]


def ended(walk: Walk) -> list[str]:
    """Return what the end page says, its heading first."""
    view = walk.view(0.0)
    assert view.verdict is not None
    return [HEADINGS[view.verdict.outcome], *said(end_page(view, view.verdict, walk.knowledge, ()))]


def test_the_last_step_and_the_end_say_that_nothing_is_wrong_and_what_was_looked_at() -> None:
    walk = answer(warm(answer(start(normal()), **SOUND)), pinch="short climb")
    step = current(walk)
    page = step_page(walk.view(0.0), step, walk.knowledge)
    assert "Nothing is wrong." in said(page.asked)
    shown = [said(page.text), ended(walk.plus(walk.choose(step, "done", 0.0)))]
    for text in shown:
        assert {"It is only oily.", "I looked at these, and they were sound:", "hold"} <= set(text)
        assert not any(line.startswith((PLEASE, "Hand")) for line in text)
    assert shown[1][0] == "✓ Nothing is wrong"


def test_what_was_only_empty_says_what_it_was_and_what_was_done() -> None:
    lid = {**FAULTS["lid-leaks"], "normal": True, "name": "tank empty"}
    walk = answer(start(normal(faults={**FAULTS, "lid-leaks": lid})), barrel="fine", failsafe="fine", hold="bleeds")
    walk = answer(walk, soap="suds").plus(ev.Mended(0.0, "lid-leaks"))
    walk = answer(walk, **{current(walk).id.replace("-", "_"): "fine"}).plus(ev.Retested(0.0, "cured"))
    assert ended(walk)[0] == "✓ Nothing is wrong"
    assert {"It was only this: tank empty.", "tank empty", "mended: tank empty"} <= set(ended(walk))


def test_a_walk_that_ended_so_is_not_open_any_more() -> None:
    assert ends(ev.FoundNormal(0.0, "It is only oily."))
