"""Every list says what it leaves out, what state is wanted, and ends with three choices that are alike in length."""

from __future__ import annotations

import random

import pytest
from little import answer, knowledge, start
from shipped import load

from diagnose.graph.model import Variant
from diagnose.pages.card import card
from diagnose.pages.completion import CHOSEN, completion, in_brief, options
from diagnose.pages.owed import looks_owed
from diagnose.pages.parts import AnswerPart, Line, Page, Paragraph, Table
from diagnose.pages.time import time_page
from diagnose.reason import events as ev
from diagnose.reason.view import View
from diagnose.reason.walk import Walk, begin

KNOWLEDGE = load()
ALIKE = 4
"""Words between the longest and the shortest of the three."""


def hurried(symptom: str, minutes: float = 5.0) -> Walk:
    walk = begin(KNOWLEDGE, ev.Started(0, "", symptom, "", Variant()))
    return walk.plus(ev.Deadline(0, minutes))


def texts(page: Page) -> list[str]:
    return [part.text for part in page if isinstance(part, Line | Paragraph)]


def chosen(page: Page) -> list[str]:
    return [part.text for part in page if isinstance(part, Line) and part.mark == CHOSEN]


def lengths(view: View, brief: bool) -> list[int]:
    return [len(said.split()) for _, said in (in_brief if brief else options)(view)]


@pytest.mark.parametrize("symptom", sorted(KNOWLEDGE.symptoms))
def test_the_three_choices_are_alike_in_length_and_one_of_them_is_the_programs(symptom: str) -> None:
    rng, walk, now = random.Random(symptom), hurried(symptom, 20.0), 0.0
    while (step := walk.step(now)) is not None and now < 1200:
        view = walk.view(now)
        for brief in (True, False):
            found = lengths(view, brief)
            assert max(found) - min(found) <= ALIKE, (list(options(view)), list(in_brief(view)))
            assert len(chosen(completion(view, brief=brief))) == 1
        now += step.minutes * 60
        walk = walk.plus(walk.choose(step, rng.choice(step.choices).id, now))


def test_a_list_with_minutes_to_go_names_what_it_leaves_out_and_its_minutes() -> None:
    view = hurried("bogs-off-the-line").view(0)
    assert view.owed
    assert view.left_out
    every = len(view.owed) + len(view.left_out)
    for page in (time_page(view, 0).word, looks_owed(view, KNOWLEDGE)):
        (said,) = [
            one for one in texts(page) if one.startswith(f"{len(view.owed)} of {every}, {len(view.left_out)} left: ")
        ]
        assert all(look.name in said for look in view.left_out)
        assert said.endswith(" min).")


def test_what_fits_leaves_nothing_out() -> None:
    view = start().plus(ev.Deadline(0, 60.0)).view(0)
    assert view.left_out == ()
    assert not [one for one in texts(time_page(view, 0).word) if " left: " in one]


def test_every_line_of_every_list_says_the_state_that_is_wanted() -> None:
    view = hurried("bogs-off-the-line", 8.0).view(0)
    (table,) = [part for part in looks_owed(view, KNOWLEDGE) if isinstance(part, Table)]
    for look, shown in zip(view.owed, time_page(view, 0).looks, strict=True):
        assert look.wanted
        assert look.wanted in shown.text
        assert any(look.wanted in row[-1] for row in table.rows)


def test_the_card_has_a_box_for_each_of_the_three_choices_alike_in_length() -> None:
    page = card(begin(KNOWLEDGE, ev.Started(0, "", "bogs-off-the-line", "", Variant())), 0)
    said = [part.text for part in page if isinstance(part, AnswerPart)][:3]
    assert [one.split(":")[0].lower() for one in said] == ["race as it is", "mend now", "stay out"]
    words = [len(one.split()) for one in said]
    assert max(words) - min(words) <= ALIKE


def test_the_list_without_minutes_ends_with_the_three_choices_and_chooses_none() -> None:
    walk = begin(KNOWLEDGE, ev.Started(0, "", "bogs-off-the-line", "", Variant()))
    for page in (looks_owed(walk.view(0), KNOWLEDGE), time_page(walk.view(0), 0).word):
        assert {said for _, said in options(walk.view(0))} <= set(texts(page))
        assert chosen(page) == []


def test_what_is_found_is_mended_now_where_the_minutes_are_there() -> None:
    found = answer(start(knowledge()), hold="bleeds")
    closing = 60.0 - (found.plus(ev.Deadline(0, 60.0)).view(0).close_up or 0.0)
    mend = found.view(0).mend
    assert mend is not None
    for minutes, word in ((closing + mend, "mend now"), (closing + mend - 0.5, "stay out")):
        assert found.plus(ev.Deadline(0, minutes)).view(0).last_word == word


def test_a_needle_is_never_what_is_mended_now() -> None:
    walk = answer(start(knowledge()), hold="fine", pinch="long climb")
    assert walk.view(0).mend is None
