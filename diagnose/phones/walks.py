"""The walks of phones, in a journal of their own: each is found by a token that nobody can guess."""

from __future__ import annotations

import secrets
import time
from collections import OrderedDict

import msgspec
from msgspec import Struct

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge, Variant
from diagnose.phones.visit import Visit
from diagnose.reason import events as ev
from diagnose.record.engines import Engine
from diagnose.record.journal import Journal
from diagnose.workshop.session import Session
from diagnose.workshop.workshop import Clock

SERVED = "served/"
MOST_VISITS = 120
"""What is kept at hand; the rest is read from the journal again."""
MOST_OF_A_VISITOR = 20
MOST_WALKS = 3000
MOST_EVENTS = 500
"""Of a walk."""
DAY = 24 * 3600


class ServedWalk(Struct, frozen=True):
    """A walk of a phone: its outing in the journal, whose it is, and the form that it was begun with."""

    at: float
    outing: str
    visitor: str
    symptom: str
    once: str = ""


class OwnSession(Session):
    """A session that begins each walk by itself: nothing of an earlier one is carried over, which was another's."""

    def starting(self, symptom: str, engine: Engine | None = None, variant: Variant | None = None) -> ev.Started:
        """Return how a walk would start now: with what is said here, and nothing else."""
        kind = variant or (engine.variant if engine else Variant())
        return ev.Started(self.clock(), self.knowledge.digest, symptom, "", kind)


class Walks:
    """All walks that are served. One thread uses it."""

    def __init__(self, knowledge: Knowledge, journal: Journal, clock: Clock = time.time) -> None:
        self.knowledge, self.journal, self.clock = knowledge, journal, clock
        self._visits: OrderedDict[tuple[str, str], Visit] = OrderedDict()
        self.served: dict[str, ServedWalk] = {}
        for stream in journal.streams(SERVED):
            for body in journal.read(stream.name, most=1):
                self.served[stream.name.removeprefix(SERVED)] = msgspec.json.decode(body, type=ServedWalk)

    def begin(self, visitor: str, symptom: str, once: str, *, led: bool = True, variant: Variant | None = None) -> str:
        """Begin a walk, and return its token; the same form sent again returns the same. Raises `DiagnoseError`."""
        mine = self.of(visitor)
        for token in mine:
            if once and self.served[token].once == once:
                return token
        now = self.clock()
        if len(self.served) >= MOST_WALKS:
            raise DiagnoseError("there is no room for another walk here: tell whoever runs this")
        if sum(now - self.served[token].at < DAY for token in mine) >= MOST_OF_A_VISITOR:
            raise DiagnoseError("you have begun enough walks for one day: go on with one of them")
        session = self._session()
        session.start(symptom, None, variant, led=led)
        token = secrets.token_urlsafe(9)
        served = ServedWalk(now, session.outing, visitor, symptom, once)
        self.journal.append(f"{SERVED}{token}", 0, [msgspec.json.encode(served).decode()], now)
        self.served[token] = served
        self._keep(visitor, token, Visit(session))
        return token

    def of(self, visitor: str) -> list[str]:
        """Return the walks that a visitor began, the newest first."""
        return [token for token, one in reversed(self.served.items()) if one.visitor == visitor]

    def visit(self, visitor: str, token: str) -> Visit:
        """Return a visitor at a walk, caught up with what others have answered. Raises `DiagnoseError`."""
        if token not in self.served:
            raise DiagnoseError("there is no such walk")
        found = self._visits.get((visitor, token))
        if found is None:
            session = self._session()
            session.resume(self.served[token].outing)
            found = Visit(session)
        else:
            found.session.catch_up()
        self._keep(visitor, token, found)
        return found

    def _session(self) -> Session:
        return OwnSession(self.knowledge, self.journal, self._second)

    def _second(self) -> float:
        """Return the time to the second: what storing an answer has worked out holds for the page after it."""
        return float(int(self.clock()))

    def _keep(self, visitor: str, token: str, visit: Visit) -> None:
        self._visits[visitor, token] = visit
        self._visits.move_to_end((visitor, token))
        while len(self._visits) > MOST_VISITS:
            self._visits.popitem(last=False)
