"""Each step in a line, its name and the state that is wanted, for who knows it; its recipe for who does not."""

from __future__ import annotations

from little import answer, current, knowledge, start, warm
from shipped import load

from diagnose.graph.model import Variant
from diagnose.pages.parts import HowTo, Page
from diagnose.pages.step import step_page
from diagnose.reason import events as ev
from diagnose.reason.view import Step
from diagnose.reason.walk import Walk, begin
from diagnose.record.journal import Journal
from diagnose.record.manner import first_day, lines, write_first_day, write_lines

KNOWLEDGE = load()
SHORTER = 3
"""A line has at the most a third of the words of its recipe, over all looks."""


def does(page: Page) -> list[str]:
    return [part.text for part in page if isinstance(part, HowTo)]


def text(walk: Walk, step: Step, *, in_lines: bool) -> list[str]:
    return does(step_page(walk.view(0), step, walk.knowledge, walk.variant, lines=in_lines).text)


def test_a_look_in_a_line_is_its_name_and_what_is_wanted() -> None:
    walk = start(knowledge())
    step = walk.ask("hold")
    assert text(walk, step, in_lines=True) == ["Hold: it is fine"]
    assert text(walk, step, in_lines=False) == ["Look."]


def test_what_keeps_hands_safe_stands_beside_the_line() -> None:
    walk = warm(start(knowledge()))
    step = walk.ask("soap")
    assert step.always == ("If the engine still runs, stop it now, and wait until it stands still.",)
    assert set(step.always) <= set(text(walk, step, in_lines=True))


def test_a_needle_step_is_told_in_full_in_either_way() -> None:
    walk = answer(warm(answer(start(knowledge()), barrel="fine", failsafe="fine", hold="fine", soap="fine",
                             new_plug="same", bubbles="fine")), pinch="long climb")  # fmt: skip
    step = current(walk)
    assert step.kind == "adjust"
    assert text(walk, step, in_lines=True) == text(walk, step, in_lines=False) != []


def test_every_look_of_the_knowledge_has_a_line_and_it_is_far_shorter() -> None:
    walk = begin(KNOWLEDGE, ev.Started(0, "", "bogs-off-the-line", "", Variant()))
    short = full = 0
    for name in walk.scope.checks:
        step = walk.ask(name)
        assert step.wanted, name
        short += len(" ".join(text(walk, step, in_lines=True)).split())
        full += len(" ".join(text(walk, step, in_lines=False)).split())
    assert short * SHORTER < full


def test_the_choice_is_kept_and_first_day_mode_is_another_one() -> None:
    with Journal.in_memory() as journal:
        assert not lines(journal)
        write_lines(journal, True, 1.0)
        assert lines(journal)
        assert first_day(journal) is None
        write_first_day(journal, True, 2.0)
        write_lines(journal, False, 3.0)
        assert (lines(journal), first_day(journal)) == (False, True)


def test_what_was_stored_and_cannot_be_read_brings_recipes() -> None:
    with Journal.in_memory() as journal:
        journal.append("density", 0, ['{"lines": "perhaps"}'], 1.0)
        assert not lines(journal)
