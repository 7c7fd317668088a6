"""A lesson on paper gives nothing away, and its answers say what the simulated engine shows."""

from __future__ import annotations

import pytest
from shipped import load

from diagnose.errors import DiagnoseError
from diagnose.graph.model import CLOSE, Variant
from diagnose.graph.say import say
from diagnose.graph.wording import capital
from diagnose.pages.lesson_sheet import NOT_NOW, lesson_answers, lesson_sheet
from diagnose.pages.parts import Field, Line, Page, Paragraph, PickPart, Table
from diagnose.practice import setting
from diagnose.practice.lesson import Practice
from diagnose.reason import events as ev
from diagnose.reason.walk import Walk, begin

KNOWLEDGE = load()


def text(page: Page) -> str:
    return repr(page).lower()


def odds(walk: Walk, fault: str) -> float:
    share = walk.standing.belief.get(fault, 0.0)
    return share / (1 - share)


def table(page: Page) -> Table:
    (found,) = [part for part in page if isinstance(part, Table)]
    return found


@pytest.mark.parametrize("name", KNOWLEDGE.lessons)
def test_a_learners_sheet_does_not_name_what_is_wrong(name: str) -> None:
    sheet, lesson = lesson_sheet(KNOWLEDGE, name), KNOWLEDGE.lessons[name]
    assert [fault for fault in lesson.faults if KNOWLEDGE.faults[fault].name.lower() in text(sheet)] == []
    assert [line for line in lesson.notice if say(line, KNOWLEDGE).lower() in text(sheet)] == []
    assert any(isinstance(part, Paragraph) and part.text == say(lesson.text, KNOWLEDGE) for part in sheet)


@pytest.mark.parametrize("name", KNOWLEDGE.lessons)
def test_a_learners_sheet_asks_for_what_is_expected_before_what_is_seen(name: str) -> None:
    head, *rows = table(lesson_sheet(KNOWLEDGE, name)).rows
    assert head.index("I expect") < head.index("It shows")
    assert len(rows) >= (3 if KNOWLEDGE.lessons[name].looks_made else 6)
    assert not any(cell for row in rows for cell in row)
    assert next(part.id for part in lesson_sheet(KNOWLEDGE, name) if isinstance(part, Field)) == "learner"


def test_the_right_answer_does_not_stand_first_on_every_sheet() -> None:
    """people.md 38: a guesser who always takes the first must not be right throughout."""
    places = []
    for name, lesson in KNOWLEDGE.lessons.items():
        (asked,) = [part for part in lesson_sheet(KNOWLEDGE, name) if isinstance(part, PickPart)]
        ids = [answer.id for answer in asked.answers]
        assert sorted(ids) == sorted(lesson.question.answers)
        places.append(ids.index(lesson.question.right))
        assert asked == next(part for part in lesson_sheet(KNOWLEDGE, name) if isinstance(part, PickPart))
    assert len(set(places)) > 1
    assert places.count(0) < len(places)


@pytest.mark.parametrize("name", KNOWLEDGE.lessons)
def test_the_answers_say_what_is_wrong_what_is_right_and_what_every_owed_look_shows(name: str) -> None:
    page, lesson = lesson_answers(KNOWLEDGE, name), KNOWLEDGE.lessons[name]
    for fault in lesson.faults:
        assert any(
            isinstance(part, Line) and part.text.startswith(capital(KNOWLEDGE.faults[fault].name)) for part in page
        )
    right = [part for part in page if isinstance(part, Line) and part.mark == "✓"]
    assert [part.text for part in right] == [
        f"{capital(say(one.say, KNOWLEDGE))}. {say(one.because, KNOWLEDGE)}"
        for one in lesson.question.answers.values()
        if one.right
    ]
    practice = Practice(KNOWLEDGE, (setting.from_lesson(KNOWLEDGE, name),))
    owed = [capital(line.name) for line in practice.walk.view(practice.hands.now).owed]
    _, *rows = table(page).rows
    assert [row[0] for row in rows][: len(owed)] == owed
    assert all(shows for _, shows, _ in rows)


@pytest.mark.parametrize("name", [name for name, one in KNOWLEDGE.lessons.items() if len(one.faults) == 1])
def test_a_look_on_the_sheet_speaks_for_the_fault(name: str) -> None:
    """From outside the page: fed to the walk, one of the looks at the least doubles the odds of its fault."""
    (fault,) = KNOWLEDGE.lessons[name].faults
    practice = Practice(KNOWLEDGE, (setting.from_lesson(KNOWLEDGE, name),))
    walk = practice.walk
    raised = []
    by_name = {capital(check.name): key for key, check in walk.scope.checks.items()}
    for look, shows, _ in table(lesson_answers(KNOWLEDGE, name)).rows[1:]:
        check = walk.scope.checks[by_name[look]]
        answers = {say(one.say, KNOWLEDGE, walk.variant): key for key, one in check.answers.items()}
        if shows != NOT_NOW and (answer := answers.get(shows.rpartition(": ")[2])) is not None:
            if walk.state.open:
                walk = walk.plus(ev.Prepared(practice.hands.now, CLOSE, "ready"))
            before = odds(walk, fault)
            walk = walk.plus(ev.Answered(practice.hands.now, by_name[look], answer))
            raised.append(odds(walk, fault) > 2 * before)
    assert any(raised)


def test_a_lesson_that_is_not_there_is_refused() -> None:
    for make in (lesson_sheet, lesson_answers):
        with pytest.raises(DiagnoseError, match="did you mean 'it-is-locked'"):
            make(KNOWLEDGE, "it-is-lockd")


def test_a_lesson_has_the_kind_of_engine_that_it_says() -> None:
    lead = lesson_sheet(KNOWLEDGE, "it-is-locked")[0]
    assert isinstance(lead, Paragraph)
    assert lead.text.lower() == begin(KNOWLEDGE, ev.Started(0, "", "revs-hang", "", Variant())).view(0).engine
