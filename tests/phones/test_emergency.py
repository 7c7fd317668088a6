"""What to do when something goes wrong is inside every page, also where nobody has come in, or something is refused."""

from __future__ import annotations

import httpx
import pytest
from phones.at_the_door import form
from phones.classes import Taught, sit, teaching, wants

INSIDE, OPENS = '<section id="now"', '<a href="#now">'


def holds(answer: httpx.Response, status: int) -> None:
    assert answer.status_code == status
    assert answer.text.count(INSIDE) == 1
    assert OPENS in answer.text
    assert "Get people away first" in answer.text


@pytest.fixture(scope="module")
def taught():  # type: ignore[no-untyped-def]
    with teaching() as one:
        yield one


@pytest.mark.parametrize(
    ("path", "status"), [("/", 401), ("/j/AAAAAAAA", 403), ("/mentor", 403), ("/no-such-page", 404)]
)
def test_it_is_inside_the_pages_of_who_has_not_come_in(taught: Taught, path: str, status: int) -> None:
    holds(taught.phone(come_in=False).get(path), status)


def test_it_is_inside_the_pages_of_a_class_and_of_what_is_refused_there(taught: Taught) -> None:
    phone = taught.phone()
    holds(phone.get("/class"), 200)
    assert sit(phone, "kim").status_code == 303
    holds(phone.get("/class"), 200)
    holds(phone.get("/class/debrief"), 403)
    hidden, _ = form(phone.get("/class").text, "do")
    holds(phone.post("/class", data={**hidden, "say": "x"}), 422)
    holds(phone.post("/class", data={**hidden, "key": "x"}), 403)


def test_it_is_inside_every_page_of_the_mentor(taught: Taught) -> None:
    mentor = taught.mentor()
    for path in ("/mentor", "/mentor?at=end", "/here"):
        holds(mentor.get(path), 200)
    wants(mentor, "end")
    for path in ("/mentor", "/mentor/sheet", "/mentor/engine", "/mentor/engine?symptom=revs-hang"):
        holds(mentor.get(path), 200)
