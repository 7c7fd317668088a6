"""A walk on a phone, over HTTP: to the end, nothing lost, nothing twice."""

from __future__ import annotations

import random
import re
from concurrent.futures import ThreadPoolExecutor
from html import unescape
from pathlib import Path

import httpx
import pytest
from amount import amount
from phones.at_the_door import Served, begin, form, forms, serving, shown, stored, to_question

from diagnose.reason import events as ev
from diagnose.record.journal import Journal

KILOBYTES = 12_000
LINKS = re.compile(r'href="(\?[^"#]*)"')
EVERYTHING = {"manner": "whole"}


def at_random(phone: httpx.Client, at: str, rng: random.Random, sizes: list[int]) -> str:
    """Walk on by whatever can be tapped, and return the page of the end."""
    where = at
    for _ in range(600):
        page = shown(phone, where)
        sizes.append(len(page.encode()))
        put = [one for one in forms(page) if one[1] and one[0]["do"] not in ("reopen", "own")]
        if "/list" in page:
            return page
        inside = page.split('<nav class="more"')[0]
        links = [one for one in LINKS.findall(inside) if "live" not in one and one != "?"]
        if not put or (links and rng.random() < 0.2):
            where = at + unescape(rng.choice(links)) if links else at
            continue
        hidden, answers = rng.choice(put)
        said = rng.choice(answers)
        answer = phone.post(at, data={**hidden, "say": said})
        assert answer.status_code in (303, 409), (hidden, said, answer.text)
        where = answer.headers.get("location", at)
        where = at if where == "/" else where
    raise AssertionError("it did not end")


@pytest.mark.slow
@pytest.mark.parametrize("cookies", [{}, EVERYTHING], ids=["led", "everything"])
def test_walks_at_random_end_and_each_page_is_small(served: Served, cookies: dict[str, str]) -> None:
    sizes: list[int] = []
    symptoms = sorted(served.behind.walks.knowledge.symptoms)
    for number in range(amount(6, quick=2, long=60)):
        rng = random.Random(number)
        phone = served.phone()
        phone.cookies.update(cookies)
        at = begin(phone, rng.choice(symptoms))
        at_random(phone, at, rng, sizes)
        assert phone.get(f"{at}/list").status_code == 200
    assert len(sizes) > 20
    assert max(sizes) <= KILOBYTES, sorted(sizes)[-5:]


def test_sent_twice_counts_once(served: Served) -> None:
    phone = served.phone()
    at = begin(phone)
    hidden, answers = form(to_question(phone, at), "step")
    before = len(stored(served, at))
    for _ in range(2):
        answer = phone.post(at, data={**hidden, "say": answers[0]})
        assert answer.status_code == 303
    assert len(stored(served, at)) == before + 1


def test_sent_six_times_at_once_counts_once(served: Served) -> None:
    phone = served.phone()
    at = begin(phone)
    hidden, answers = form(to_question(phone, at), "step")
    before = len(stored(served, at))
    with ThreadPoolExecutor(6) as pool:
        sent = [pool.submit(phone.post, at, data={**hidden, "say": answers[0]}) for _ in range(6)]
        assert {one.result().status_code for one in sent} == {303}
    assert len(stored(served, at)) == before + 1


def test_another_answer_too_late_gets_409_and_the_question_as_it_is_now(served: Served) -> None:
    phone = served.phone()
    at = begin(phone)
    hidden, answers = form(to_question(phone, at), "step")
    phone.post(at, data={**hidden, "say": answers[0]})
    after = stored(served, at)
    now = form(to_question(phone, at), "step")
    answer = phone.post(at, data={**hidden, "say": answers[1]})
    assert answer.status_code == 409
    assert "answered already, in another way" in answer.text
    assert f'data-count="{now[0]["n"]}"' in answer.text
    assert stored(served, at) == after


def test_two_phones_share_a_walk_by_its_link_and_one_without_the_code_can_not(served: Served) -> None:
    first, second, third = served.phone(), served.phone(), served.phone(come_in=False)
    at = begin(first)
    hidden, answers = form(to_question(first, at), "step")
    theirs, _ = form(to_question(second, at), "step")
    assert theirs["n"] == hidden["n"]
    assert theirs["key"] != hidden["key"]
    assert first.post(at, data={**hidden, "say": answers[0]}).status_code == 303
    assert second.post(at, data={**theirs, "say": answers[1]}).status_code == 409
    assert third.get(at).status_code == 401
    assert at not in second.get("/").text


def test_a_form_to_begin_that_is_sent_twice_begins_one(served: Served) -> None:
    phone = served.phone()
    hidden, answers = forms(phone.get("/").text)[0]
    sent = [phone.post("/", data={**hidden, "say": answers[0]}).headers["location"] for _ in range(2)]
    assert sent[0] == sent[1]


def test_reload_and_back_are_harmless(served: Served) -> None:
    phone = served.phone()
    at = begin(phone)
    page = to_question(phone, at)
    before = stored(served, at)
    for _ in range(3):
        for beside in (
            "why",
            "whatif",
            "sofar",
            "hazards",
            "unclear",
            "stuck",
            "nearest",
            "needs",
            "saw",
            "back",
            "stop",
        ):
            assert phone.get(f"{at}?at={beside}").status_code == 200
    assert stored(served, at) == before
    assert form(page, "step")[0]["n"] == str(len(before))


def test_nothing_of_one_walk_is_carried_into_another(served: Served) -> None:
    phone, other = served.phone(), served.phone()
    at = begin(phone, "will-not-start")
    hidden, answers = form(to_question(phone, at), "step")
    phone.post(at, data={**hidden, "say": answers[-1]})
    started = stored(served, begin(other, "will-not-start"))[0]
    assert isinstance(started, ev.Started)
    assert (started.carried, started.found, started.open, started.engine) == ((), (), (), "")


def test_a_restart_keeps_everybody_and_every_answer(tmp_path: Path) -> None:
    with Journal.open(tmp_path / "served.sqlite3") as journal:
        with serving(journal) as served:
            phone = served.phone()
            at = begin(phone)
            hidden, answers = form(to_question(phone, at), "step")
            phone.post(at, data={**hidden, "say": answers[0]})
            cookie, before = phone.cookies["visitor"], stored(served, at)
        with serving(journal) as again:
            phone = again.phone(come_in=False)
            phone.cookies.set("visitor", cookie)
            assert at in phone.get("/").text
            assert stored(again, at) == before
            assert phone.post(at, data={**hidden, "say": answers[0]}).status_code == 303
            assert stored(again, at) == before


def test_an_answer_after_an_hour_asleep_is_asked_about_first() -> None:
    now = [1_790_000_000.0]
    with serving(clock=lambda: now[0]) as served:
        phone = served.phone()
        at = begin(phone)
        hidden, answers = form(to_question(phone, at), "step")
        phone.post(at, data={**hidden, "say": answers[0]})
        hidden, answers = form(to_question(phone, at), "step")
        before = stored(served, at)
        now[0] += 3600
        answer = phone.post(at, data={**hidden, "say": answers[0]})
        assert answer.status_code == 409
        assert stored(served, at) == before
        since, said = form(answer.text, "since")
        assert phone.post(at, data={**since, "say": said[0]}).status_code == 303
        assert form(to_question(phone, at), "step")


def test_a_note_is_kept_and_escaped(served: Served) -> None:
    phone = served.phone()
    at = begin(phone)
    to_question(phone, at)
    hostile = "<script>alert(1)</script>\u202eevil"
    page = shown(phone, f"{at}?at=saw&words={httpx.QueryParams({'w': hostile})['w']}")
    assert "<script>alert" not in page
    hidden, answers = form(page, "note")
    assert phone.post(at, data={**hidden, "say": answers[0]}).status_code == 303
    page = shown(phone, f"{at}?at=sofar")
    assert "alert(1)" in page
    assert "<script>alert" not in page
    assert "\u202e" not in page


def test_a_reading_that_is_none_is_told_and_nothing_is_saved(served: Served) -> None:
    phone = served.phone()
    at = begin(phone)
    hidden, answers = form(to_question(phone, at), "step")
    phone.post(at, data={**hidden, "say": answers[0]})
    count = {"n": str(len(stored(served, at))), "key": hidden["key"], "do": "saw"}
    checks = served.behind.walks.knowledge.checks
    looks = [name for name, check in checks.items() if check.reading is not None]
    measure: dict[str, str] = {}
    for look in looks:
        if phone.post(at, data={**count, "say": look}).status_code == 303:
            found = [one for one, _ in forms(to_question(phone, at)) if one.get("do") == "measure"]
            measure = found[0] if found else measure
    assert measure
    before = stored(served, at)
    for typed in ("nan", "inf", "1e400", "warm", "", "-5000"):
        answer = phone.post(at, data={**measure, "typed": typed})
        assert answer.status_code == 422, typed
        assert "Not saved" in answer.text
    assert stored(served, at) == before
