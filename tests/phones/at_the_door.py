"""A server on a free loopback port, and phones that come in by its code."""

from __future__ import annotations

import asyncio
import re
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from html import unescape
from typing import Any

import httpx
from shipped import load

from diagnose.graph.model import Knowledge
from diagnose.pages.parts import Page
from diagnose.phones.app import Shared, made, shared
from diagnose.phones.door import Door, PerMinute
from diagnose.phones.serve import server
from diagnose.phones.walks import Walks
from diagnose.reason import events as ev
from diagnose.record.index import OUTINGS
from diagnose.record.journal import Journal

KEY = b"a key of this test alone"
WIDE = PerMinute(sent=100_000, sent_by_address=100_000, sent_by_all=100_000, joins=100_000)


class Served:
    """A server that runs in a thread of its own."""

    def __init__(self, behind: Shared, port: int) -> None:
        self.behind, self.port = behind, port
        self.phones: list[httpx.Client] = []

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def phone(self, *, come_in: bool = True, address: str = "") -> httpx.Client:
        """Return a phone, which has scanned the code; each has an address of its own."""
        address = address or f"127.0.1.{len(self.phones) % 250 + 1}"
        transport = httpx.HTTPTransport(local_address=address)
        phone = httpx.Client(base_url=self.url, transport=transport, headers={"origin": self.url}, timeout=20)
        self.phones.append(phone)
        if come_in:
            answer = phone.get(f"/j/{self.behind.door.code}")
            assert answer.status_code == 303, answer.text
        return phone


@contextmanager
def serving(
    journal: Journal | None = None,
    *,
    known: Knowledge | None = None,
    limits: PerMinute | None = None,
    cars: dict[str, Page] | None = None,
    clock: Any = time.time,
) -> Iterator[Served]:
    behind = shared(Door(KEY, limits), Walks(known or load(), journal or Journal.in_memory(), clock), cars)
    with running(made(behind, ["127.0.0.1"])) as port:
        served = Served(behind, port)
        try:
            yield served
        finally:
            for phone in served.phones:
                phone.close()


@contextmanager
def running(app: Any) -> Iterator[int]:
    """Run an application on a free port, and stop it afterwards."""
    listening = socket.create_server(("127.0.0.1", 0))
    port = listening.getsockname()[1]
    run = server(app)
    thread = threading.Thread(target=lambda: asyncio.run(run.serve(sockets=[listening])), daemon=True)
    thread.start()
    until = time.monotonic() + 20
    while not run.started:
        assert time.monotonic() < until
        time.sleep(0.01)
    try:
        yield port
    finally:
        run.should_exit = True
        thread.join(10)
        listening.close()
        assert not thread.is_alive()


FORM = re.compile(r'<form[^>]*method="post"[^>]*>(.*?)</form>', re.S)
HIDDEN = re.compile(r'<input type="hidden" name="(\w+)" value="([^"]*)">')
BUTTON = re.compile(r'<button name="say" value="([^"]*)">')


def forms(page: str) -> list[tuple[dict[str, str], list[str]]]:
    """Return what each form of a page holds hidden, and its answers."""
    found = []
    for inner in FORM.findall(page):
        hidden = {name: unescape(value) for name, value in HIDDEN.findall(inner)}
        found.append((hidden, [unescape(one) for one in BUTTON.findall(inner)]))
    return found


def form(page: str, do: str) -> tuple[dict[str, str], list[str]]:
    """Return the form of a page that does this."""
    found = [one for one in forms(page) if one[0].get("do", "") == do]
    assert found, (do, page)
    return found[0]


def begin(phone: httpx.Client, symptom: str = "revs-hang") -> str:
    """Begin a walk, and return its address."""
    hidden = form(phone.get("/?all").text, "")[0]
    answer = phone.post("/", data={**hidden, "say": symptom})
    assert answer.status_code == 303, answer.text
    return answer.headers["location"]


def stored(served: Served, at: str) -> list[ev.Event]:
    """Return the events of the walk at an address."""
    outing = served.behind.walks.served[at.rpartition("/")[2]].outing
    return [ev.from_json(body) for body in served.behind.walks.journal.read(f"{OUTINGS}{outing}")]


def shown(phone: httpx.Client, at: str) -> str:
    """Return a page, with what leads there followed."""
    answer = phone.get(at, follow_redirects=True)
    assert answer.status_code == 200, answer.text
    return answer.text


def to_question(phone: httpx.Client, at: str) -> str:
    """Read what comes before the first question of a walk, tell nothing, and return the page of that question."""
    for _ in range(40):
        page = shown(phone, at)
        if not (put := forms(page)):
            found = re.search(r'href="(\?part=\d+)"', page)
            assert found
            page = shown(phone, at + found[1])
            while found := re.search(r'href="(\?part=\d+)"', page):
                page = shown(phone, at + found[1])
            put = forms(page)
        hidden, answers = put[0]
        if hidden["do"] not in ("read", "tell", "ready", "since"):
            return page
        said = [answers[-1] if hidden["do"] == "tell" else answers[0]]
        answer = phone.post(at, data={**hidden, "say": said})
        assert answer.status_code == 303, answer.text
    raise AssertionError("no question came")
