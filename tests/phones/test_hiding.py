"""The mentor hides something on the page itself: by the same answers, bounds and messages as on the screen."""

from __future__ import annotations

from collections.abc import Iterator
from html import unescape
from typing import Any

import httpx
import pytest
from phones.at_the_door import FORM, HIDDEN
from phones.classes import Taught, teaching, wants
from shipped import load

from diagnose.pages import class_table as table
from diagnose.pages.practice_start import hidden_by
from diagnose.practice import setting
from diagnose.practice.class_set import LONGEST_STORY
from diagnose.practice.happenings import Begun

SYMPTOM, FAULT, SECOND = "revs-hang", "fuel-line-split", "wrong-fuel"
RIGHT = dict.fromkeys(("high", "mid", "low", "idle"), table.RIGHT)
WISH = {"fault": FAULT, "second": "none", "bad": "0.9", **RIGHT, "story": ""}


@pytest.fixture
def taught() -> Iterator[Taught]:
    with teaching(begin=False) as one:
        yield one


def hide(mentor: httpx.Client, **wish: str) -> httpx.Response:
    """Send the form of a symptom as it is filled in here."""
    page = mentor.get(f"/mentor/engine?symptom={SYMPTOM}").text
    hidden = dict(HIDDEN.findall(FORM.findall(page)[0]))
    return mentor.post("/mentor/engine", data={**hidden, **WISH, **wish})


def begun(taught: Taught) -> Begun:
    assert taught.room.of is not None
    return taught.room.of.begun


def test_the_mentor_s_page_leads_over_what_it_does_to_what_is_hidden(taught: Taught) -> None:
    mentor = taught.mentor()
    assert 'href="/mentor/engine"' in mentor.get("/mentor").text
    listed = mentor.get("/mentor/engine").text
    known = load()
    for name in known.symptoms:
        assert (f'href="?symptom={name}"' in listed) == bool(hidden_by(known, name)), name
    page = unescape(mentor.get(f"/mentor/engine?symptom={SYMPTOM}").text)
    offered = hidden_by(known, SYMPTOM)
    assert len(offered) > 5
    assert [one.id for one in offered] == sorted(
        (key for key, one in known.faults.items() if SYMPTOM in one.explains), key=lambda key: known.faults[key].name
    )
    for one in (*offered, table.NO_SECOND, *table.BAD, *table.off_amounts("idle stop")):
        assert f'value="{one.id}"' in page


@pytest.mark.parametrize(
    ("wish", "faults", "turned"),
    [
        ({}, [FAULT], ()),
        ({"second": SECOND}, [FAULT, SECOND], ()),
        ({"bad": "drawn"}, [FAULT], ()),
        ({"high": "2"}, [FAULT], (("high needle", 2.0),)),
        ({"mid": "-1", "idle": "6"}, [FAULT], (("mid needle", -1.0), ("idle stop", 6.0))),
    ],
)
def test_what_is_chosen_is_hidden(taught: Taught, wish: dict[str, str], faults: list[str], turned: Any) -> None:
    answer = hide(taught.mentor(), **wish)
    assert (answer.status_code, answer.headers.get("location")) == (303, "/mentor")
    made = begun(taught)
    assert made.symptom == SYMPTOM
    assert [one.fault for one in made.troubles] == faults
    assert made.turned == turned
    assert made.recorded or not turned


def test_how_badly_it_is_there_is_what_the_mentor_said(taught: Taught) -> None:
    found = []
    for bad in ("0.9", "0.3"):
        hide(taught.mentor(), bad=bad)
        found.append(begun(taught).troubles[0].severity)
        wants(taught.mentor(), "end")
    assert found[0] > found[1]


def test_the_owner_says_what_the_mentor_wrote_and_markup_is_text(taught: Taught) -> None:
    mentor = taught.mentor()
    story = "fine <b>until</b> Sunday & wet since"
    hide(mentor, story=f"  {story}  ")
    assert begun(taught).owner == story
    phone = taught.seated("kim")
    page = phone.get("/class?at=story").text
    assert story in unescape(page)
    assert "<b>until" not in page


def test_a_story_of_the_longest_in_any_script_is_taken(taught: Taught) -> None:
    story = "火" * LONGEST_STORY
    assert hide(taught.mentor(), story=story).status_code == 303
    assert begun(taught).owner == story


@pytest.mark.parametrize(
    ("wish", "told"),
    [
        ({"second": FAULT}, table.TWICE),
        ({"story": "x" * (LONGEST_STORY + 1)}, f"one line of {LONGEST_STORY} characters at most"),
        ({"story": "one\u202eline"}, f"one line of {LONGEST_STORY} characters at most"),
    ],
)
def test_what_can_t_be_says_so_and_keeps_all_that_was_chosen(taught: Taught, wish: dict[str, str], told: str) -> None:
    answer = hide(taught.mentor(), bad="0.3", low="-2", **wish)
    assert answer.status_code == 422
    page = unescape(answer.text)
    assert told in page
    chosen = {**WISH, "bad": "0.3", "low": "-2", **wish}
    for name in ("fault", "second", "high", "low"):
        assert f'<option value="{chosen[name]}" selected>' in page
    assert 'name="bad" value="0.3" checked' in page
    assert chosen["story"].replace("\u202e", "") in page.replace("\u202e", "")
    assert taught.room.of is None


@pytest.mark.parametrize(
    "wish",
    [
        {"symptom": "x"},
        {"fault": "x"},
        {"fault": ""},
        {"second": "x"},
        {"bad": "1e9"},
        {"bad": "nan"},
        {"high": "99"},
        {"low": "nan"},
        {"idle": ""},
    ],
)
def test_what_is_none_of_the_answers_sets_nothing(taught: Taught, wish: dict[str, str]) -> None:
    assert hide(taught.mentor(), **wish).status_code == 400
    assert taught.room.of is None


def test_a_fault_that_shows_something_else_is_refused_in_the_words_of_the_screen(
    taught: Taught, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(setting.set_engine, "__defaults__", (None, 0))  # no engine is drawn
    answer = hide(taught.mentor())
    assert answer.status_code == 422
    assert "choose another symptom for it" in answer.text


def test_while_a_class_goes_on_none_is_set(taught: Taught) -> None:
    mentor = taught.mentor()
    page = mentor.get(f"/mentor/engine?symptom={SYMPTOM}").text  # opened before another window began one
    hidden = dict(HIDDEN.findall(FORM.findall(page)[0]))
    hide(mentor)
    first = taught.room.of
    assert mentor.get("/mentor/engine").headers["location"] == "/mentor"
    answer = mentor.post("/mentor/engine", data={**hidden, **WISH})
    assert answer.status_code == 422
    assert "a class is still going on" in answer.text
    assert taught.room.of == first


def test_the_form_needs_its_origin_and_its_token(taught: Taught) -> None:
    mentor = taught.mentor()
    assert hide(mentor, key="x").status_code == 403
    mentor.headers["origin"] = "http://elsewhere.example"
    assert hide(mentor).status_code == 403
    assert taught.room.of is None


def test_once_it_is_set_no_page_says_what_is_hidden(taught: Taught) -> None:
    mentor = taught.mentor()
    assert hide(mentor, second=SECOND).status_code == 303
    known = load()
    for at in ("/mentor", "/mentor/engine"):
        page = unescape(mentor.get(at, follow_redirects=True).text).lower()
        for fault in (FAULT, SECOND):
            assert known.faults[fault].name.lower() not in page
