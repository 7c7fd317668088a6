"""What somebody on the same Wi-Fi could try, and what keeps it out."""

from __future__ import annotations

import asyncio
import contextlib
import json
import socket
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from pathlib import Path

import httpx
import pytest
from phones.at_the_door import KEY, WIDE, Served, begin, form, serving, shown, to_question

from diagnose.pages import phone as said
from diagnose.pages.parts import Paragraph
from diagnose.phones import patient, watch
from diagnose.phones.door import LENGTH, SIGNS, Bucket, Door, PerMinute, new_code
from diagnose.phones.guard import FORM
from diagnose.phones.patient import MOST_OF_AN_ADDRESS
from diagnose.phones.walks import MOST_OF_A_VISITOR, MOST_VISITS
from diagnose.record.index import OUTINGS


@pytest.fixture(scope="module")
def served() -> Iterator[Served]:
    with serving(limits=WIDE, cars={"blue truggy": (Paragraph("Its needles stand well."),)}) as one:
        yield one


def events(served: Served) -> int:
    return sum(stream.length for stream in served.behind.walks.journal.streams(OUTINGS))


def raw(served: Served, sent: bytes, wait: float = 5) -> bytes:
    """Send bytes as they are, and return what comes back."""
    with socket.create_connection(("127.0.0.1", served.port), timeout=wait) as line:
        line.sendall(sent)
        found = b""
        while True:
            try:
                more = line.recv(65536)
            except (TimeoutError, ConnectionResetError):
                return found
            if not more:
                return found
            found += more
            if b"\r\n\r\n" in found and b"Connection: close" not in sent:
                return found


# --- whose page, whose form


@pytest.mark.parametrize(("host", "status"), [("evil.example", 400), ("", 400), ("127.0.0.1", 200)])
def test_only_our_own_host_is_answered(served: Served, host: str, status: int) -> None:
    assert served.phone().get("/now", headers={"host": host}).status_code == status


def test_a_request_without_a_host_is_refused(served: Served) -> None:
    assert b" 400 " in raw(served, b"GET /now HTTP/1.1\r\nConnection: close\r\n\r\n").split(b"\r\n")[0]


@pytest.mark.parametrize("origin", ["http://evil.example", "null", "", "https://127.0.0.1"])
def test_a_form_of_another_site_changes_nothing(served: Served, origin: str) -> None:
    phone = served.phone()
    at = begin(phone)
    hidden, answers = form(to_question(phone, at), "step")
    before = events(served)
    assert phone.post(at, data={**hidden, "say": answers[0]}, headers={"origin": origin}).status_code == 403
    assert phone.post("/join", data={"code": served.behind.door.code}, headers={"origin": origin}).status_code == 403
    assert events(served) == before


def test_a_form_needs_the_token_of_its_visitor(served: Served) -> None:
    phone, other = served.phone(), served.phone()
    at = begin(phone)
    hidden, answers = form(to_question(phone, at), "step")
    theirs, _ = form(to_question(other, at), "step")
    before = events(served)
    for key in ("", "x", theirs["key"]):
        assert phone.post(at, data={**hidden, "key": key, "say": answers[0]}).status_code == 403
    assert events(served) == before


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
    for cookie in ("", "me", real[:-1] + ("A" if real[-1] != "A" else "B"), f"other{real[5:]}"):
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


# --- connections


def test_silent_connections_and_slow_bodies_keep_nobody_out(served: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(patient, "PATIENCE", 1.0)
    inside = served.phone()
    form_head = f"Host: 127.0.0.1\r\nOrigin: http://127.0.0.1\r\nContent-Type: {FORM}\r\nContent-Length: 100\r\n\r\nc"
    slow = f"POST /join HTTP/1.1\r\n{form_head}"
    lines = []
    try:
        for number in range(230):
            line = socket.socket()
            line.bind((f"127.0.2.{number // MOST_OF_AN_ADDRESS + 1}", 0))
            line.connect(("127.0.0.1", served.port))
            lines.append(line)
        for number in range(40):
            line = socket.socket()
            line.bind((f"127.0.3.{number // 10 + 1}", 0))
            line.connect(("127.0.0.1", served.port))
            line.sendall(slow.encode())
            lines.append(line)
        assert inside.get("/").status_code == 200
        for line in lines:
            line.settimeout(10)
            with contextlib.suppress(ConnectionResetError):
                assert line.recv(1) == b""
    finally:
        for line in lines:
            line.close()


def test_one_address_has_so_many_connections(served: Served) -> None:
    lines = []
    try:
        for _ in range(40):
            line = socket.socket()
            line.bind(("127.0.4.1", 0))
            line.connect(("127.0.0.1", served.port))
            lines.append(line)
        dropped = 0
        for line in lines:
            line.settimeout(0.3)
            try:
                dropped += line.recv(1) == b""
            except TimeoutError:
                pass
            except ConnectionResetError:
                dropped += 1
        assert dropped == 40 - MOST_OF_AN_ADDRESS
    finally:
        for line in lines:
            line.close()


def test_an_endless_body_is_cut(served: Served) -> None:
    phone = served.phone()
    at = begin(phone)

    def endless() -> Iterator[bytes]:
        for _ in range(1000):
            yield b"say=" + b"x" * 100 + b"&"

    headers = {"content-type": "application/x-www-form-urlencoded"}
    with suppress(httpx.TransportError):  # it was cut while it was still sent
        assert phone.post(at, content=endless(), headers=headers).status_code == 413
    assert served.phone().get("/").status_code == 200


def test_streams_have_an_end_for_a_visitor_and_for_all(served: Served) -> None:
    watchers = watch.Watchers()

    async def fill() -> list[bool]:
        open_now = []
        for number in range(watch.MOST):
            stream = watchers.watch("w", f"v{number // watch.MOST_OF_A_VISITOR}", 1)
            await anext(stream)
            open_now.append(stream)
        full = [watchers.may_watch("v0"), watchers.may_watch("somebody else")]
        await open_now[0].aclose()  # type: ignore[attr-defined]
        return [*full, watchers.may_watch("somebody else"), watchers.may_watch("v1")]

    assert asyncio.run(fill()) == [False, False, True, False]
    phone = served.phone()
    at = begin(phone)
    with phone.stream("GET", f"{at}/live") as one, phone.stream("GET", f"{at}/live") as two:
        assert (one.status_code, two.status_code) == (200, 200)
        lines = [one.iter_lines(), two.iter_lines()]
        assert [next(line) for line in lines] == ["data: 1"] * 2
        assert phone.get(f"{at}/live").status_code == 503


def test_a_stream_says_a_count_and_nothing_else(served: Served) -> None:
    phone, other = served.phone(), served.phone()
    at = begin(phone)
    hidden, answers = form(to_question(phone, at), "step")
    with other.stream("GET", f"{at}/live") as stream:
        lines = stream.iter_lines()
        assert next(lines) == f"data: {hidden['n']}"
        phone.post(at, data={**hidden, "say": answers[0]})
        told = [line for line in (next(lines), next(lines)) if line]
        assert told == [f"data: {int(hidden['n']) + 1}"]


# --- bodies, paths, values


@pytest.mark.parametrize(
    ("body", "kind", "status"),
    [
        ("say=" + "x" * 3000, "application/x-www-form-urlencoded", 413),
        ("&".join(f"a{n}=1" for n in range(13)), "application/x-www-form-urlencoded", 400),
        ("no form at all", "application/x-www-form-urlencoded", 400),
        ("say=%FF%FE", "application/x-www-form-urlencoded", 400),
        ("é".encode("latin-1"), "application/x-www-form-urlencoded", 400),
        (json.dumps({"say": "x"}), "application/json", 415),
        ("--b\r\n\r\nx\r\n--b--", "multipart/form-data; boundary=b", 415),
        ("say=x", "text/plain", 415),
    ],
)
def test_odd_bodies_are_refused(served: Served, body: str | bytes, kind: str, status: int) -> None:
    phone = served.phone()
    at = begin(phone)
    before = events(served)
    assert phone.post(at, content=body, headers={"content-type": kind}).status_code == status
    assert events(served) == before


def test_a_chunked_body_that_is_too_big_and_a_head_that_is_too_long_are_refused(served: Served) -> None:
    phone = served.phone()
    at = begin(phone)
    chunks = (b"x" * 1000 for _ in range(4))
    headers = {"content-type": "application/x-www-form-urlencoded"}
    assert phone.post(at, content=chunks, headers=headers).status_code == 413
    assert b" 400 " in raw(served, b"GET / HTTP/1.1\r\nHost: x\r\nx: " + b"y" * 20_000 + b"\r\n\r\n").split(b"\r\n")[0]


@pytest.mark.parametrize(
    "path",
    [
        "/../pyproject.toml",
        "/..%2f..%2fetc/passwd",
        "/static/look.css",
        "/look.css/../../app.py",
        "//etc/passwd",
        "/walks/../served.key",
        "/served.sqlite3",
        "/walks/aaaaaaaaaaaa",
    ],
)
def test_no_path_leads_anywhere_else(served: Served, path: str) -> None:
    cookie = served.phone().cookies["visitor"]
    sent = f"GET {path} HTTP/1.1\r\nHost: 127.0.0.1\r\nCookie: visitor={cookie}\r\nConnection: close\r\n\r\n"
    assert b" 404 " in raw(served, sent.encode()).split(b"\r\n")[0]


@pytest.mark.parametrize(
    ("count", "status"), [("-1", 400), ("x", 400), ("9" * 9, 400), ("²", 400), ("999", 422), ("0", 422)]
)
def test_odd_counts_are_refused(served: Served, count: str, status: int) -> None:
    phone = served.phone()
    at = begin(phone)
    hidden, answers = form(to_question(phone, at), "step")
    before = events(served)
    assert phone.post(at, data={**hidden, "n": count, "say": answers[0]}).status_code == status
    assert events(served) == before


@pytest.mark.parametrize(
    "odd",
    [
        {"say": "no such answer"},
        {"say": ""},
        {},
        {"do": "nothing known"},
        {"about": "ask/no-such-check"},
        {"about": "mend/glow-plug-dead", "say": "done"},
        {"do": "since", "say": "another day"},
        {"do": "back", "say": "0"},
        {"do": "back", "say": "x"},
        {"do": "measure", "typed": "5"},
        {"do": "rather", "say": "revs-hang"},
        {"do": "tell", "about": "no-such-question", "say": "x"},
        {"do": "ready", "about": "nothing of it", "say": "yes"},
        {"do": "saw", "say": "no-such-check"},
        {"do": "note", "say": "note/" + "x" * 300},
        {"do": "reopen", "say": "reopen"},
        {"do": "also", "say": "no-such-symptom"},
        {"do": "needs", "say": "no such thing"},
        {"do": "person", "say": "no such thing"},
    ],
)
def test_what_is_no_answer_is_told_and_stores_nothing(served: Served, odd: dict[str, str]) -> None:
    phone = served.phone()
    at = begin(phone)
    hidden, _ = form(to_question(phone, at), "step")
    before = events(served)
    answer = phone.post(at, data={**hidden, **odd})
    assert answer.status_code in (409, 422), answer.text
    assert said.NOT_SAVED in answer.text
    assert events(served) == before


def test_a_method_that_is_not_offered_gets_our_own_page_without_a_trace(served: Served) -> None:
    phone = served.phone()
    for method, path, status in (
        ("PUT", "/", 405),
        ("DELETE", "/walks/x", 405),
        ("OPTIONS", "/", 405),
        ("GET", "/no", 404),
    ):
        answer = phone.request(method, path)
        assert answer.status_code == status
        assert "Traceback" not in answer.text
        assert "starlette" not in answer.text.lower()


def test_each_answer_says_what_a_browser_may_do_with_it(served: Served) -> None:
    phone = served.phone()
    for path in ("/", "/no", "/look.css", "/now", begin(phone)):
        found = phone.get(path).headers
        assert "default-src 'none'" in found["content-security-policy"]
        assert "unsafe" not in found["content-security-policy"]
        assert found["x-content-type-options"] == "nosniff"
        assert found["referrer-policy"] == "same-origin"
        assert "server" not in found
        assert not [name for name in found if name.startswith("access-control")]
    assert phone.get("/").headers["cache-control"] == "no-store"


def test_headers_of_a_proxy_change_nobody_s_address() -> None:
    with serving() as served:
        guesser = served.phone(come_in=False)
        statuses = [
            guesser.get("/j/AAAAAAAA", headers={"x-forwarded-for": f"10.1.1.{number}"}).status_code
            for number in range(8)
        ]
        assert statuses == [403] * 6 + [429] * 2


def test_the_journal_of_phones_holds_answers_and_times_and_no_name_of_anybody(served: Served) -> None:
    phone = served.phone()
    at = begin(phone)
    kept = served.behind.walks.journal
    assert {stream.name.partition("/")[0] for stream in kept.streams()} <= {"outing", "outings", "served"}
    body = json.loads(kept.read(f"served/{at.rpartition('/')[2]}")[0])
    assert set(body) <= {"at", "outing", "visitor", "symptom", "once"}
    assert phone.cookies["visitor"] not in json.dumps(body)


def test_a_car_is_shown_only_where_its_owner_put_it_up(served: Served) -> None:
    phone = served.phone()
    assert "blue truggy" in shown(phone, "/")
    assert "Its needles stand well." in shown(phone, "/cars/0")
    assert phone.get("/cars/1").status_code == 404
    with serving() as bare:
        other = bare.phone()
        assert "blue truggy" not in shown(other, "/")
        assert other.get("/cars/0").status_code == 404


def test_an_error_of_the_program_shows_no_trace_and_is_written_down(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("DIAGNOSE_HOME", str(tmp_path))
    monkeypatch.setattr("diagnose.phones.app.urgent", lambda _: 1 / 0)
    with serving() as served:
        answer = served.phone().get("/now")
    assert answer.status_code == 500
    assert "ZeroDivision" not in answer.text
    assert "ZeroDivisionError" in (tmp_path / "crash-serve.log").read_text("utf-8")
