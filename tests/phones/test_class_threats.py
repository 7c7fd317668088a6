"""What somebody could try against a class on phones, and what keeps it out."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from contextlib import ExitStack
from urllib.parse import quote

import httpx
import pytest
from phones.at_the_door import KEY, form
from phones.classes import Taught, do, engine, look, sit, teaching, wants
from shipped import load

from diagnose.phones import watch
from diagnose.phones.classroom import SEATED
from diagnose.phones.mentor import BYTES, MentorKey

MENTORS = (
    "/mentor",
    "/mentor/engine",
    "/mentor/engine?symptom=revs-hang",
    "/mentor/live",
    "/mentor/sheet",
    "/mentor/debrief/1",
)


@pytest.fixture
def taught() -> Iterator[Taught]:
    with teaching() as one:
        yield one


def first_of(phone: httpx.Client, at: str, *, until: str = "\n\n") -> str:
    """Return the first message of a stream."""
    with phone.stream("GET", at) as answer:
        assert answer.status_code == 200
        found = ""
        for text in answer.iter_text():
            found += text.replace("\r\n", "\n")
            if until in found:
                return found
    raise AssertionError(found)


def test_the_mentor_s_pages_are_closed_to_every_phone(taught: Taught) -> None:
    seated, stranger = taught.seated("kim"), taught.phone(come_in=False)
    for phone in (seated, stranger):
        for page in MENTORS:
            assert phone.get(page).status_code == 403, page
        for what in ("pause", "end", "hint", "begin"):
            answer = phone.post("/mentor", data={"do": what, "say": "1", "key": "x"})
            assert answer.status_code == 403
        assert phone.post("/mentor/engine", data={"symptom": "revs-hang", "key": "x"}).status_code == 403
    assert taught.room.open
    assert not taught.room.waiting


def test_a_made_up_mentor_cookie_or_link_opens_nothing(taught: Taught) -> None:
    phone = taught.seated("kim")
    other = MentorKey(KEY)  # of another start
    for cookie in ("", "me", phone.cookies["visitor"], other.cookie()):
        phone.cookies.set("mentor", cookie, path="/mentor")
        assert phone.get("/mentor").status_code == 403
        phone.cookies.delete("mentor")
    for link in ("x", other.link, taught.keeper.link[:-1], quote("é" * 22)):
        assert phone.get(f"/mentor/{link}").status_code == 403


def test_the_link_lets_a_mentor_in_from_elsewhere_and_has_128_bits(taught: Taught) -> None:
    links = {MentorKey(KEY).link for _ in range(50)}
    assert len(links) == 50
    assert BYTES * 8 == 128
    assert all(re.fullmatch(r"[\w-]{22}", link) for link in links)
    away = taught.phone(come_in=False)
    answer = away.get(f"/mentor/{taught.keeper.link}")
    assert answer.status_code == 303
    told = answer.headers["set-cookie"].lower()
    assert ("httponly" in told, "samesite=lax" in told, "path=/mentor" in told) == (True, True, True)
    assert away.get("/mentor").status_code == 200
    assert wants(away, "pause").status_code == 303
    assert taught.room.waiting


def test_a_form_of_the_mentor_needs_its_origin_and_its_token(taught: Taught) -> None:
    mentor, kim = taught.mentor(), taught.seated("kim")
    token = re.search(r'name="key" value="([^"]*)"', mentor.get("/mentor").text)
    theirs, _ = form(kim.get("/class").text, "do")
    assert token
    for key, origin in (
        (token[1], "null"),
        (token[1], "http://evil.example"),
        ("", taught.url),
        (theirs["key"], taught.url),
    ):
        answer = mentor.post("/mentor", data={"do": "end", "key": key}, headers={"origin": origin})
        assert answer.status_code == 403
    assert taught.room.open
    assert wants(mentor, "fly").status_code == 400


@pytest.mark.parametrize("name", ["<script>a()</script>", '"><img src=x onerror=a>'[:24], "x' onload='a()", "a\tb"])
def test_a_hostile_nickname_is_text_on_every_page_and_in_the_stream(taught: Taught, name: str) -> None:
    kim, mentor = taught.seated(name), taught.mentor()
    pages = [kim.get("/class").text, kim.get("/").text, mentor.get("/mentor").text, first_of(mentor, "/mentor/live")]
    wants(mentor, "end")
    pages += [kim.get("/class/sheet").text, mentor.get("/mentor/debrief/1").text, mentor.get("/mentor").text]
    shown = " ".join(name.split())
    for page in pages:
        assert not re.search(r"<script(?! src=./live)|<img|\sonload='|onerror=a>", page)
        if any(sign in shown for sign in "<>\"'"):
            assert shown not in page
    assert "&lt;script&gt;a()" in pages[2] or "<script>" not in name


def test_a_line_break_in_a_nickname_forges_no_event(taught: Taught) -> None:
    phone, mentor = taught.phone(), taught.mentor()
    assert sit(phone, "kim\r\n\r\ndata: x").status_code == 303  # the break is a space by then
    stream = first_of(mentor, "/mentor/live")
    assert not re.search(r"^data: x", stream, re.M)
    assert "kim data: x" in stream


def test_every_stream_has_a_place_until_forty_and_then_says_that_there_is_none(taught: Taught) -> None:
    phones = [taught.seated(f"n{number}") for number in range(20)]
    mentor = taught.mentor()
    with ExitStack() as held:
        for phone in phones:
            for _ in range(2):
                answer = held.enter_context(phone.stream("GET", "/class/live"))
                assert answer.status_code == 200
        assert phones[0].get("/class/live").status_code == 503  # a third of one
        assert watch.MOST == 40
        assert mentor.get("/mentor/live").status_code == 503
        assert mentor.get("/mentor").status_code == 200
    until = time.monotonic() + 10
    while True:
        try:
            assert "n3" in first_of(mentor, "/mentor/live")
            break
        except AssertionError:
            assert time.monotonic() < until
            time.sleep(0.1)


def test_a_learner_sees_nothing_of_another_and_nothing_of_what_is_hidden(taught: Taught) -> None:
    kim, ana = taught.seated("kim"), taught.seated("ana")
    check = next(iter(taught.room.seats[1].practice.scope.checks))
    look(kim, check)
    for at in (
        "",
        "?at=done",
        "?at=story",
        "?at=stop",
        "?at=1",
        "?at=done/1",
        "?seat=1",
        "?at=best/1",
        "?at=rule",
        "?at=case",
    ):
        page = ana.get(f"/class{at}").text
        assert "kim" not in page
        assert load().checks[check].name not in page
    hidden = engine().troubles[0].fault
    for at in ("", "?at=done", "?at=story", "?at=turn", "?at=hint", f"?at=check/{check}"):
        page = ana.get(f"/class{at}").text
        assert hidden not in page
        assert engine().seed not in page
    for page in ("/class/debrief", "/class/marks"):
        assert ana.get(page).status_code == 403
    assert ana.get("/class/sheet").status_code == 403
    assert first_of(ana, "/class/live").strip() == "data: 1"


def test_the_mentor_s_page_and_its_stream_hold_no_answer_while_the_class_goes_on(taught: Taught) -> None:
    taught.seated("kim")
    mentor = taught.mentor()
    hidden = engine().troubles[0].fault
    for page in (mentor.get("/mentor").text, first_of(mentor, "/mentor/live")):
        assert hidden not in page
        assert load().faults[hidden].name not in page


def test_who_has_no_seat_can_do_nothing_but_sit_down(taught: Taught) -> None:
    kim, other = taught.seated("kim"), taught.phone()
    form_, _ = form(kim.get("/class").text, "do")
    mine, _ = form(other.get("/class").text, "sit")
    answer = other.post("/class", data={**form_, "key": mine["key"], "say": "run"})
    assert answer.status_code == 409
    assert len(taught.room.seats[1].practice.events) == 1
    for page in ("/class/live", "/class/debrief", "/class/marks", "/class/sheet"):
        assert other.get(page).status_code == 404
    stranger = taught.phone(come_in=False)
    for page in ("/class", "/class/live", "/class/debrief", "/class/marks", "/class/sheet"):
        assert stranger.get(page).status_code == 401
    assert (
        kim.post("/class", data={**form_, "say": "run"}, headers={"origin": "http://evil.example"}).status_code == 403
    )
    assert kim.post("/class", data={**form_, "key": mine["key"], "say": "run"}).status_code == 403


def test_a_class_has_thirty_seats_and_says_so(taught: Taught) -> None:
    for number in range(30):
        taught.room.sit(f"visitor {number}", "n")
    answer = sit(taught.phone(), "late")
    assert (answer.status_code, "all 30 seats are taken" in answer.text) == (422, True)
    assert len(taught.room.journal.read(SEATED + str(taught.room.of and taught.room.of.id))) == 30


def test_a_form_of_an_earlier_class_does_nothing_in_the_next(taught: Taught) -> None:
    kim, mentor = taught.seated("kim"), taught.mentor()
    old, _ = form(kim.get("/class").text, "do")
    wants(mentor, "end")
    assert kim.post("/class", data={**old, "say": "run"}).status_code == 409
    wants(mentor, "begin", "1")
    assert kim.post("/class", data={**old, "say": "run"}).status_code == 409
    assert sit(kim, "kim").status_code == 303
    assert do(kim, "", "do", "run").status_code == 303
    assert len(taught.room.seats[1].practice.events) == 2
