"""A class on phones: a server with a mentor's page, and what its learners tap."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from typing import Any

import httpx
from phones.at_the_door import KEY, WIDE, Served, form, running
from shipped import load

from diagnose.phones.app import made, shared
from diagnose.phones.classroom import Classroom
from diagnose.phones.door import Door
from diagnose.phones.here import Doorway, here
from diagnose.phones.mentor import MentorKey, mentor
from diagnose.phones.walks import Walks
from diagnose.practice.class_set import to_level
from diagnose.practice.happenings import Begun
from diagnose.record.journal import Journal


class Taught(Served):
    """A server with a class; its mentor sits at the same computer."""

    keeper: MentorKey

    @property
    def room(self) -> Classroom:
        return self.behind.room

    def mentor(self) -> httpx.Client:
        return self.phone(come_in=False, address="127.0.0.1")

    def seated(self, nickname: str) -> httpx.Client:
        """Return a phone that has sat down."""
        phone = self.phone()
        answer = sit(phone, nickname)
        assert answer.status_code == 303, answer.text
        return phone


@cache
def engine(level: int = 2) -> Begun:
    return to_level(load(), level, "a class")


@contextmanager
def teaching(
    journal: Journal | None = None, *, begin: bool = True, clock: Any = time.time, steady: Any = time.monotonic
) -> Iterator[Taught]:
    kept = journal or Journal.in_memory()
    door, keeper = Door(KEY, WIDE), MentorKey(KEY)
    behind = shared(door, Walks(load(), kept, clock))._replace(room=Classroom(load(), kept, clock, steady))
    if begin:
        behind.room.begin(engine())
    own = [*here(Doorway("192.168.4.1", 8000), door), *mentor(door, behind.room, behind.watchers, keeper)]
    with running(made(behind, ["127.0.0.1"], own)) as port:
        taught = Taught(behind, port)
        taught.keeper = keeper
        try:
            yield taught
        finally:
            for phone in taught.phones:
                phone.close()


def sit(phone: httpx.Client, nickname: str) -> httpx.Response:
    hidden, _ = form(phone.get("/class").text, "sit")
    return phone.post("/class", data={**hidden, "typed": nickname})


def do(phone: httpx.Client, at: str, what: str, say: str = "", **more: str) -> httpx.Response:
    """Send the form of a page of the class, with an answer of it."""
    hidden, answers = form(phone.get(f"/class{at}").text, what)
    return phone.post("/class", data={**hidden, "say": say or answers[0], **more})


def look(phone: httpx.Client, check: str, expected: str = "", tells: str = "unclear") -> None:
    """Look at something as a whole: say what is expected, look, and say what it tells."""
    assert do(phone, f"?at=check/{check}", "look", expected).status_code == 303
    assert do(phone, "", "tells", tells).status_code == 303


def wants(mentor_: httpx.Client, what: str, say: str = "") -> httpx.Response:
    """Do something on the mentor's page."""
    token = re.search(r'name="key" value="([^"]*)"', mentor_.get("/mentor").text)
    assert token
    return mentor_.post("/mentor", data={"key": token[1], "do": what, "say": say})
