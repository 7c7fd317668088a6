"""Silent, slow and endless connections, and what each may hold."""

from __future__ import annotations

import asyncio
import contextlib
import socket
from collections.abc import Iterator
from contextlib import suppress

import httpx
import pytest
from phones.at_the_door import Served, begin, form, to_question

from diagnose.phones import patient, watch
from diagnose.phones.guard import FORM
from diagnose.phones.patient import MOST_OF_AN_ADDRESS


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
