"""Who is let in, and how much each may send: made-up cookies, tried codes, floods."""

from __future__ import annotations

import time
from concurrent.futures import ThreadPoolExecutor

import pytest
from phones.at_the_door import KEY, WIDE, Served, begin, form, serving, shown, to_question

from diagnose.pages import phone as said
from diagnose.phones.door import LENGTH, SIGNS, Bucket, Door, PerMinute, new_code
from diagnose.phones.walks import MOST_OF_A_VISITOR, MOST_VISITS

# --- who comes in


def test_who_has_not_come_in_sees_nothing_but_the_emergency_page(served: Served) -> None:
    at = begin(served.phone())
    stranger = served.phone(come_in=False)
    for page in ("/", at, f"{at}/live", f"{at}/list", "/cars/0", "/?all"):
        answer = stranger.get(page)
        assert answer.status_code == 401, page
        assert said.JOIN in answer.text
    assert stranger.get("/now").status_code == 200
    assert stranger.post(at, data={"n": "1"}).status_code == 401


def test_a_cookie_that_was_made_up_or_chosen_lets_nobody_in(served: Served) -> None:
    real = served.phone().cookies["visitor"]
    signed, _, sign = real.rpartition(".")
    other = f"{signed}.{'A' if sign[0] != 'A' else 'B'}{sign[1:]}"  # the last sign would not do: not all its bits count
    for cookie in ("", "me", other, f"other{real[5:]}"):
        stranger = served.phone(come_in=False)
        stranger.cookies.set("visitor", cookie)
        assert stranger.get("/").status_code == 401


def test_joining_always_makes_a_new_visitor(served: Served) -> None:
    phone = served.phone()
    first = phone.cookies["visitor"]
    answer = phone.get(f"/j/{served.behind.door.code}")
    assert answer.cookies["visitor"] != first
    told = answer.headers["set-cookie"].lower()
    assert "httponly" in told
    assert "samesite=lax" in told
    assert "max-age=86400" in told


def test_a_cookie_of_yesterday_is_nobody(monkeypatch: pytest.MonkeyPatch) -> None:
    door = Door(KEY)
    cookie = door.cookie()
    assert door.visitor(cookie)
    later = time.time() + 24 * 3600 + 2
    monkeypatch.setattr("itsdangerous.timed.time.time", lambda: later)
    assert door.visitor(cookie) == ""


def test_a_code_has_eight_of_thirty_signs_and_is_new_each_time() -> None:
    codes = {new_code() for _ in range(200)}
    assert len(codes) == 200
    assert (LENGTH, len(set(SIGNS))) == (8, 30)
    assert {sign for code in codes for sign in code} == set(SIGNS)


def test_wrong_codes_run_out_for_their_address_alone_and_right_ones_do_not_count() -> None:
    with serving() as served:
        guesser, code = served.phone(come_in=False), served.behind.door.code
        statuses = [guesser.get("/j/AAAAAAAA").status_code for _ in range(9)]
        assert statuses == [403] * 6 + [429] * 3
        assert guesser.get(f"/j/{code}").status_code == 429
        assert guesser.post("/join", data={"code": code}).status_code == 429
        with ThreadPoolExecutor(8) as pool:
            found = [pool.submit(served.phone) for _ in range(30)]
            assert all(one.result().get("/").status_code == 200 for one in found)


def test_when_all_tries_are_used_up_those_inside_stay_in_and_a_new_code_clears_it() -> None:
    with serving() as served:
        inside, old = served.phone(), served.behind.door.code
        for number in range(60):
            served.behind.door.opens("AAAAAAAA", f"10.0.0.{number}")
        assert served.phone(come_in=False).get(f"/j/{old}").status_code == 429
        assert inside.get("/").status_code == 200
        served.behind.door.renew()
        new = served.behind.door.code
        assert new != old
        assert served.phone(come_in=False).get(f"/j/{old}").status_code == 403
        assert served.phone(come_in=False).get(f"/j/{new}").status_code == 303
        assert inside.get("/").status_code == 200


def test_a_thousand_wrong_codes_hold_nobody_up() -> None:
    with serving() as served:
        inside = served.phone()
        for _ in range(1000):
            served.behind.door.opens("AAAAAAAA", "10.9.9.9")
        assert inside.get("/").status_code == 200
        assert served.behind.door.wrong.full("10.9.9.9")


def test_an_address_that_joins_again_and_again_is_stopped() -> None:
    with serving(limits=PerMinute(joins=3)) as served:
        phone = served.phone()
        statuses = [phone.get(f"/j/{served.behind.door.code}").status_code for _ in range(4)]
        assert statuses == [303, 303, 429, 429]


def test_what_is_counted_is_forgotten_after_a_minute_and_keeps_no_crowd_of_names() -> None:
    now = [0.0]
    bucket = Bucket(2, lambda: now[0])
    for number in range(5000):
        bucket.add(str(number))
        now[0] += 0.1
    assert len(bucket._times) <= 2001
    bucket.add("a")
    bucket.add("a")
    assert bucket.full("a")
    now[0] += 61
    assert not bucket.full("a")


# --- floods


def test_a_flood_of_answers_is_refused_and_takes_nothing_from_others() -> None:
    with serving() as served:
        phone, other = served.phone(), served.phone()
        at, theirs = begin(phone), begin(other)
        hidden, answers = form(to_question(phone, at), "step")
        statuses = [phone.post(at, data={**hidden, "say": answers[0]}).status_code for _ in range(80)]
        assert statuses.count(429) >= 20
        assert set(statuses) <= {303, 429}
        mine, said_there = form(to_question(other, theirs), "step")
        assert other.post(theirs, data={**mine, "say": said_there[0]}).status_code == 303


def test_a_new_cookie_does_not_get_round_what_an_address_may_send() -> None:
    with serving(limits=PerMinute(sent_by_address=10)) as served:
        phone = served.phone()
        hidden, answers = form(shown(phone, "/"), "")
        statuses = []
        for _ in range(12):
            phone.get(f"/j/{served.behind.door.code}")
            hidden, answers = form(shown(phone, "/"), "")
            statuses.append(phone.post("/", data={**hidden, "say": answers[0]}).status_code)
        assert statuses == [303] * 10 + [429] * 2


def test_a_visitor_begins_so_many_walks_a_day_and_the_table_stays_small() -> None:
    with serving(limits=WIDE) as served:
        phone = served.phone()
        for _ in range(MOST_OF_A_VISITOR):
            begin(phone)
        hidden, answers = form(shown(phone, "/"), "")
        assert phone.post("/", data={**hidden, "say": answers[0]}).status_code == 429
        assert len(served.behind.walks.of(next(iter(served.behind.walks.served.values())).visitor)) == MOST_OF_A_VISITOR
        assert len(served.behind.walks._visits) <= MOST_VISITS


def test_there_is_an_end_to_all_walks_and_to_each(served: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    phone = served.phone()
    at = begin(phone)
    hidden, answers = form(to_question(phone, at), "step")
    monkeypatch.setattr("diagnose.phones.app.MOST_EVENTS", 1)
    assert phone.post(at, data={**hidden, "say": answers[0]}).status_code == 422
    monkeypatch.setattr("diagnose.phones.walks.MOST_WALKS", 1)
    first, offered = form(shown(phone, "/"), "")
    assert phone.post("/", data={**first, "say": offered[0]}).status_code == 429
