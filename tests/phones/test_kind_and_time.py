"""The kind of engine and the minutes to go, said on a phone."""

from __future__ import annotations

import pytest
from phones.at_the_door import Served, begin, form, forms, shown, stored, to_question

from diagnose.graph.model import Variant
from diagnose.reason import events as ev


def started(served: Served, at: str) -> ev.Started:
    first = stored(served, at)[0]
    assert isinstance(first, ev.Started)
    return first


def test_a_walk_is_about_the_kind_of_engine_that_was_chosen_on_this_phone_alone(served: Served) -> None:
    phone, other = served.phone(), served.phone()
    assert Variant().says() in shown(phone, "/")
    hidden = forms(shown(phone, "/engine"))[0][0]
    said = {"needles": "2", "starter": "pull", "age": "new", "low": "air"}
    assert phone.post("/engine", data={**hidden, **said}).status_code == 303
    wanted = Variant(2, "pull", run_in=False, air_screw=True)
    assert wanted.says() in shown(phone, "/")
    assert started(served, begin(phone)).variant == wanted
    assert started(served, begin(other)).variant == Variant()
    page = shown(phone, "/engine")
    assert [page.count(f'value="{one}" checked') for one in said.values()] == [1, 1, 1, 1]


def test_who_does_not_know_gets_what_the_page_says_is_taken(served: Served) -> None:
    phone = served.phone()
    hidden = forms(shown(phone, "/engine"))[0][0]
    unknown = dict.fromkeys(("needles", "starter", "age", "low"), "unknown")
    phone.post("/engine", data={**hidden, **unknown})
    assert started(served, begin(phone)).variant == Variant()


@pytest.mark.parametrize("odd", ["", "x", "9999", "111", "11111", "-100", "١٠٠٠", "0" * 900])
def test_a_cookie_that_names_no_kind_counts_as_none(served: Served, odd: str) -> None:
    phone = served.phone()
    phone.cookies.set("kind", odd.encode("ascii", "replace").decode())
    assert Variant().says() in shown(phone, "/")


def test_a_kind_that_is_none_is_taken_as_unknown_and_a_foreign_form_changes_nothing(served: Served) -> None:
    phone = served.phone()
    hidden = forms(shown(phone, "/engine"))[0][0]
    assert phone.post("/engine", data={**hidden, "needles": "17", "starter": "rope"}).status_code == 303
    assert Variant().says() in shown(phone, "/")
    assert phone.post("/engine", data={**hidden, "needles": "2"}, headers={"origin": "http://x"}).status_code == 403
    assert phone.post("/engine", data={"needles": "2"}).status_code == 403
    assert Variant().says() in shown(phone, "/")


def test_minutes_are_said_and_counted_down_and_taken_away(served: Served) -> None:
    phone = served.phone()
    at = begin(phone)
    to_question(phone, at)
    hidden = form(shown(phone, f"{at}?at=time"), "deadline")[0]
    count = len(stored(served, at))
    for odd in ("", "soon", "-3", "nan", "8 °C"):
        assert phone.post(at, data={**hidden, "typed": odd}).status_code == 422, odd
    assert len(stored(served, at)) == count
    for _ in range(2):  # sent twice, it counts once
        assert phone.post(at, data={**hidden, "typed": "8 min"}).status_code == 303
    events = stored(served, at)
    assert (len(events), events[-1]) == (count + 1, ev.Deadline(events[-1].at, 8.0))
    assert "8 min to go" in shown(phone, at)
    page = shown(phone, f"{at}?at=time")
    assert "Close the car up" in page
    hidden, said = form(page, "no deadline")
    assert phone.post(at, data={**hidden, "say": said[0]}).status_code == 303
    assert "to go" not in shown(phone, at)
