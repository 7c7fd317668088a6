"""A page says the same words on the screen and in plain lines."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator

import pytest

from diagnose.commands.printed import spoken
from diagnose.graph.load import read_all
from diagnose.graph.model import Variant
from diagnose.pages import beside, good_tune, hazards, head_reading, setting, since
from diagnose.pages.day import FORM
from diagnose.pages.end import end_page
from diagnose.pages.engine import new_engine
from diagnose.pages.parts import DrawingPart, Faces, Field, FormPage, Page, PickPart
from diagnose.pages.stand import screws
from diagnose.pages.step import step_page
from diagnose.pages.turns import faces
from diagnose.pages.what_if import what_if_page
from diagnose.pages.why import why_page
from diagnose.pages.words import step_words
from diagnose.reason import events as ev
from diagnose.reason.play import play, usual
from diagnose.reason.view import Step, Turn
from diagnose.reason.walk import Walk, begin
from diagnose.screens.widgets.rendered import rendered

KNOWN = read_all().knowledge
WIDE = 4000
"""Columns in which no line is broken."""


def on_screen(page: Page) -> Counter[str]:
    return Counter(re.findall(r"[\w%½]+", rendered(page, WIDE).plain.casefold()))


def in_lines(page: Page) -> Counter[str]:
    """Return the words that are read aloud."""
    return Counter(re.findall(r"[\w%½]+", "\n".join(line for part in page for line in spoken(part)).casefold()))


def undrawn(page: Page) -> Page:
    """Leave out pictures: in plain lines they are said in words."""
    return tuple(part for part in page if not isinstance(part, (DrawingPart, Faces)))


def answered(walk: Walk, step: Step) -> str | float | None:
    """Do what is told, in good health; read a head in its window."""
    if step.kind == "prepare" and any(choice.id == "too hot" for choice in step.choices):
        return 95.0
    if step.kind in ("ask", "recheck"):
        answers = walk.scope.checks[step.id].answers
        return next((key for key, one in answers.items() if one.healthy), ev.CANT_TELL)
    return "worse" if step.kind == "retest" else usual(step)


def pages(walk: Walk, step: Step) -> Iterator[Page]:
    """Yield what can be shown at a step."""
    view = walk.view(walk.events[-1].at)
    page = step_page(view, step, KNOWN, walk.variant, means=True)
    yield from (page.asked, page.text, page.hazards, beside.so_far(view, step), beside.could_be(view))
    yield from (beside.owed(view), why_page(walk, view, step), step_words(KNOWN, step, "the list", walk.variant))
    yield since.since_page(walk)


@pytest.mark.parametrize("symptom", KNOWN.symptoms)
def test_every_page_of_a_walk_says_the_same_on_the_screen_and_in_plain_lines(symptom: str) -> None:
    walk = begin(KNOWN, ev.Started(0, "", symptom, "", Variant()))
    last = walk
    for number, made in enumerate(play(walk, answered)):
        if number % 5 == 0 or made.step.kind in ("adjust", "undo", "refer"):
            for page in map(undrawn, pages(made.before, made.step)):
                assert on_screen(page) == in_lines(page)
        if number == 0:
            follows = what_if_page(made.before, made.step, 0)
            assert on_screen(follows) == in_lines(follows)
        last = made.walk
    view = last.view(last.events[-1].at)
    assert view.verdict is not None
    end = end_page(view, view.verdict, KNOWN, ())
    assert on_screen(end) == in_lines(end)


FORMS = (
    new_engine(first=True),
    FORM,
    good_tune.FORM,
    head_reading.FORM,
    setting.setting(screws(3)),
    setting.turned(screws(2), "go back"),
)


@pytest.mark.parametrize("form", FORMS, ids=[form.heading for form in FORMS])
def test_every_form_asks_the_same_on_the_screen_and_in_plain_lines(form: FormPage) -> None:
    page = (*form.asked, *form.answers)
    assert on_screen(page) == in_lines(page)
    asks = [part for part in page if isinstance(part, (Field, PickPart))]
    ids = [part.id for part in (*asks, *form.answers)]
    assert len(set(ids)) == len(ids) > 1
    said = " ".join(line for part in page for line in spoken(part))
    hints = [part.hint for part in asks if isinstance(part, Field)]
    answers = [one.text for part in asks if isinstance(part, PickPart) for one in part.answers]
    assert all(one in said for one in (*hints, *answers))


def test_a_field_without_a_text_or_an_example_is_said_without_its_colon() -> None:
    assert spoken(Field("notes")) == []
    assert spoken(Field("name", hint="blue truggy")) == ["blue truggy"]
    assert spoken(Field("gap", "gap", "mm", "0.8")) == ["gap (mm): 0.8"]


def test_hazards_are_told_in_the_same_words() -> None:
    first = tuple(KNOWN.cautions)[:2]
    told = (hazards.before_page(first, KNOWN, stop_first=True).text, hazards.hazards_page(KNOWN, first=first))
    for page in (*told, *hazards.urgent(KNOWN).values()):
        assert on_screen(page) == in_lines(page)


def test_a_low_screw_that_lets_in_air_is_said_to_turn_the_other_way_round() -> None:
    fuel, air = (faces([Turn("low needle", "leaner", 1.0, 0.0, air_screw)]).words for air_screw in (False, True))
    assert fuel[0] == "Low needle: screwdriver to the right (clockwise), one hour, from 12 to 1."
    assert air[0] == "Low needle: screwdriver to the left (anticlockwise), one hour, from 12 to 11."
    assert air[-1] == "This low screw lets in air, so it works the other way round."
