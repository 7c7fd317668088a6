"""After a class on phones: the learner speaks first, then sees the own way, a rule, a new case, and the marks last."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape

import httpx
import pytest
from phones.at_the_door import form
from phones.classes import Taught, do, look, teaching, wants
from shipped import load

from diagnose.pages import debrief as after
from diagnose.pages import phone_class as said
from diagnose.phones.classroom import Classroom
from diagnose.practice import happenings as hp
from diagnose.practice.lesson import Practice
from diagnose.practice.new_case import new_case
from diagnose.workshop import learners

GO_ON = re.compile(r'<a class="button" href="([^"]*)">\s*Go on')


@pytest.fixture
def taught() -> Iterator[Taught]:
    with teaching() as one:
        yield one


def practice(taught: Taught, number: int = 1) -> Practice:
    return taught.room.seats[number].practice


def ended(taught: Taught, nickname: str = "kim") -> httpx.Client:
    """Return a phone that has looked once, stopped, and said what it thinks of that; then the class has ended."""
    phone = taught.seated(nickname)
    look(phone, next(iter(practice(taught).scope.checks)))
    do(phone, "?at=stop", "stop", "yes")
    assert do(phone, "?at=best/1", "reflect", "0").status_code == 303
    wants(taught.mentor(), "end")
    return phone


def on(phone: httpx.Client, at: str) -> str:
    """Return where the way goes on from a page."""
    found = GO_ON.search(phone.get(at).text)
    assert found
    return unescape(found[1])


def test_after_the_end_the_learner_speaks_first_and_is_told_nothing_before_the_class_has_ended(taught: Taught) -> None:
    kim = taught.seated("kim")
    look(kim, next(iter(practice(taught).scope.checks)))
    do(kim, "?at=stop", "stop", "yes")
    assert "which was your best look" in kim.get("/class").text
    assert do(kim, "?at=best/1", "reflect", "0").status_code == 303
    assert practice(taught).events[-1] == hp.Reflected(1, 0)
    waits = kim.get("/class").text
    assert said.DONE in waits
    for at in ("rule", "case"):
        assert kim.get(f"/class?at={at}").text == waits


def test_the_way_leads_from_the_own_looks_over_a_rule_and_a_new_case_to_the_marks(taught: Taught) -> None:
    kim = ended(taught)
    order = [after.HEADING, after.RULE_TOLD, after.NEW_CASE, "Your marks"]
    at, found = "/class/debrief", []
    text = kim.get(at).text
    assert "Your best look: step 1" in text
    assert text.index("Your best look: step 1") < text.index("Your way, beside the program") < text.index("Minutes")
    assert "of 100" not in text
    found.append(after.HEADING if after.HEADING in text else "")
    at = on(kim, at)
    hidden, _ = form(kim.get(at).text, "rule")
    found.append(after.RULE_TOLD if after.RULE_TOLD in kim.get(at).text else "")
    answer = kim.post("/class", data={**hidden, "typed": "look before you turn"})
    assert practice(taught).events[-1] == hp.Ruled("look before you turn")
    at = answer.headers["location"]
    hidden, answers = form(kim.get(at).text, "case")
    found.append(after.NEW_CASE if after.NEW_CASE in kim.get(at).text else "")
    at = kim.post("/class", data={**hidden, "say": answers[0]}).headers["location"]
    last = kim.get(on(kim, at)).text
    found.append("Your marks" if "Your marks" in last else "")
    assert found == order
    assert last.index("look before you turn") < last.index("One fault to try next") < last.index("Your marks")


def test_the_rule_and_the_new_case_can_be_left_out(taught: Taught) -> None:
    kim = ended(taught)
    for at, then in (("/class?at=rule", "/class?at=case"), ("/class?at=case", "/class/marks")):
        page = kim.get(at).text
        assert re.search(rf'href="{re.escape(then)}">\s*Leave it out', page), at
        assert kim.get(then).status_code == 200
    opened = kim.get("/class").text
    assert "One rule for the next engine" in opened
    assert "A new case" in opened


@pytest.mark.parametrize("right", [True, False])
def test_the_new_case_is_that_of_the_screens_and_says_whether_it_was_named(taught: Taught, *, right: bool) -> None:
    kim = ended(taught)
    case = new_case(practice(taught))
    assert case is not None
    assert case.right not in {one.fault for one in practice(taught).begun.troubles}
    hidden, answers = form(kim.get("/class?at=case").text, "case")
    assert answers == list(case.offered)
    named = case.right if right else next(one for one in answers if one != case.right)
    answer = kim.post("/class", data={**hidden, "say": named})
    assert practice(taught).events[-1] == hp.NamedInCase(named, case.right)
    page = kim.get(answer.headers["location"]).text
    assert ("yes:" if right else "it was:") in page
    assert load().faults[case.right].name in page.lower()
    assert "A new case" not in kim.get("/class").text.partition("<h1>")[2]
    assert [one.scored.case for one in learners.results(taught.room.journal)] == [right]


def test_what_is_right_in_a_new_case_is_not_taken_from_a_form(taught: Taught) -> None:
    kim = ended(taught)
    hidden, answers = form(kim.get("/class?at=case").text, "case")
    outside = next(one for one in practice(taught).scope.faults if one not in answers)
    for say in (outside, "", "x", "<b>"):
        assert kim.post("/class", data={**hidden, "say": say, "right": say}).status_code == 422
    assert practice(taught).said(hp.NamedInCase) is None


def test_a_new_case_is_answered_once_and_not_while_the_others_still_look(taught: Taught) -> None:
    kim, ana = taught.seated("kim"), taught.seated("ana")
    do(kim, "?at=stop", "stop", "yes")
    seat = taught.room.seats[1]
    token = form(ana.get("/class").text, "do")[0]["key"]
    mine = re.search(r'name="key" value="([^"]*)"', kim.get("/").text)
    assert mine
    early = {"n": str(seat.count), "key": mine[1], "do": "case", "say": next(iter(practice(taught).scope.faults))}
    assert kim.post("/class", data={**early, "key": token}).status_code == 403
    assert kim.post("/class", data=early).status_code == 409
    wants(taught.mentor(), "end")
    hidden, answers = form(kim.get("/class?at=case").text, "case")
    assert kim.post("/class", data={**hidden, "say": answers[0]}).status_code == 303
    assert kim.post("/class", data={**hidden, "say": answers[0]}).status_code == 303
    assert kim.post("/class", data={**hidden, "say": answers[1]}).status_code == 409
    assert sum(isinstance(one, hp.NamedInCase) for one in practice(taught).events) == 1


def test_where_the_knowledge_has_no_other_case_it_says_so_and_goes_on(
    taught: Taught, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("diagnose.phones.classroom.new_case", lambda _: None)
    kim = ended(taught)
    assert after.NO_CASE in kim.get("/class?at=case").text
    assert on(kim, "/class?at=case") == "/class/marks"


def test_what_was_said_after_a_class_is_there_after_a_restart(taught: Taught) -> None:
    kim = ended(taught)
    hidden, answers = form(kim.get("/class?at=case").text, "case")
    kim.post("/class", data={**hidden, "say": answers[0]})
    again = Classroom(load(), taught.room.journal)
    assert again.seats[1].practice.said(hp.NamedInCase) == practice(taught).said(hp.NamedInCase)
