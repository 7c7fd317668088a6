"""What somebody on the same Wi-Fi could send, and what keeps it out."""

from __future__ import annotations

import json
import socket
from pathlib import Path

import pytest
from phones.at_the_door import Served, begin, form, serving, shown, to_question

from diagnose.pages import phone as said
from diagnose.record.index import OUTINGS


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
    host = f"GET /now HTTP/1.1\r\nHost: 127.0.0.1:{served.port}\r\nConnection: close\r\n".encode()
    assert b" 200 " in raw(served, host + b"\r\n").split(b"\r\n")[0]
    assert b" 431 " in raw(served, host + b"x: " + b"y" * 20_000 + b"\r\n\r\n").split(b"\r\n")[0]
    many = b"".join(b"x-%d: y\r\n" % number for number in range(2000))
    assert b" 431 " in raw(served, host + many + b"\r\n").split(b"\r\n")[0]
    assert b" 400 " in raw(served, host + b"x: " + b"y" * 20_000).split(b"\r\n")[0]  # it has no end


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


@pytest.mark.parametrize("note", ["a\u202eb", "a\x1b[31mb", "a\x00b", "a\r\nb"])
def test_a_note_is_stored_without_what_can_t_be_shown(served: Served, note: str) -> None:
    phone = served.phone()
    at = begin(phone)
    hidden, _ = form(to_question(phone, at), "step")
    assert phone.post(at, data={**hidden, "do": "note", "say": f"note/{note}"}).status_code == 303
    journal = served.behind.walks.journal
    kept = [json.loads(body) for stream in journal.streams(OUTINGS) for body in journal.read(stream.name)]
    notes = [one["text"] for one in kept if one["kind"] == "noted"]
    assert set(notes) & {"ab", "a[31mb", "a b"}
    assert all(one.isprintable() for one in notes)


def test_nobody_hands_a_walk_over_before_looks_could_not_be_told(served: Served) -> None:
    phone = served.phone()
    at = begin(phone)
    hidden, _ = form(to_question(phone, at), "step")
    before = events(served)
    for say in ("end", "park"):
        answer = phone.post(at, data={**hidden, "do": "person", "say": say})
        assert (answer.status_code, events(served)) == (409, before)
