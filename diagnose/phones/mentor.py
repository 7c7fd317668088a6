"""The mentor's page: how far each seat of the class is, live, and what is said to all of them or to one.

It is for this computer's own browser, or for who has the link that nobody can guess, where one was asked for.
"""

from __future__ import annotations

import hmac
import secrets
from collections.abc import AsyncIterator, Callable
from contextlib import suppress

from itsdangerous import BadData, TimestampSigner
from sse_starlette import EventSourceResponse
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from diagnose.errors import DiagnoseError
from diagnose.pages import class_sheet, phone_class
from diagnose.pages.class_table import CHOOSE
from diagnose.pages.debrief import debrief
from diagnose.pages.parts import Page
from diagnose.phones import guard, hiding, render
from diagnose.phones.classroom import Classroom, PhoneSeat
from diagnose.phones.door import DAY, Door
from diagnose.phones.entrance import SEE_OTHER, now, plain
from diagnose.phones.here import WHO, own
from diagnose.phones.learning import AGAIN, MENTOR, PING, seat_name
from diagnose.phones.watch import Watchers
from diagnose.practice.class_set import to_level, together
from diagnose.record.journal import JournalError
from diagnose.workshop.class_sheet import came_to

COOKIE = "mentor"
BYTES = 16
"""Of what the link can't be guessed by: 128 bits."""
EVERY = 15.0
"""Seconds after which the minutes on the page are counted anew."""


class MentorKey:
    """Who may see the mentor's page: this computer's own browser, and who has come by the link of this start."""

    def __init__(self, key: bytes) -> None:
        self.link = secrets.token_urlsafe(BYTES)
        self._cookies = TimestampSigner(key, salt=f"mentor {self.link}")

    def fits(self, link: str) -> bool:
        """Say whether this is the link."""
        return hmac.compare_digest(link.encode(), self.link.encode())

    def cookie(self) -> str:
        """Return the cookie of who has come by it."""
        return self._cookies.sign(secrets.token_urlsafe(9)).decode()

    def who(self, request: Request) -> str:
        """Return by what name a mentor sends forms; "" for who is none."""
        if own(request):
            return WHO
        with suppress(BadData):
            return "mentor " + self._cookies.unsign(request.cookies.get(COOKIE, ""), max_age=DAY).decode()
        return ""


def mentor(door: Door, room: Classroom, watchers: Watchers, key: MentorKey) -> list[Route]:
    """Return the routes of a mentor."""
    pages = _Mentor(door, room, watchers, key)
    return [
        Route("/mentor", pages.shown),
        Route("/mentor", pages.asked, methods=["POST"]),
        Route("/mentor/live", pages.live),
        Route("/mentor/sheet", pages.sheet),
        Route("/mentor/debrief/{seat:int}", pages.debrief),
        Route("/mentor/engine", pages.engine),
        Route("/mentor/engine", pages.chosen, methods=["POST"]),
        Route("/mentor/{link}", pages.by_link),
    ]


class _Mentor:
    def __init__(self, door: Door, room: Classroom, watchers: Watchers, key: MentorKey) -> None:
        self.door, self.room, self.watchers, self.key = door, room, watchers, key
        self._deeds: dict[str, Callable[[str], None]] = {
            "pause": lambda _: self.room.wait(),
            "go on": lambda _: self.room.go_on(),
            "end": lambda _: self.room.end(),
            "hint": self._hint,
        }

    def _who(self, request: Request) -> str:
        """Return who asks; raises `HTTPException` for who is no mentor."""
        found = self.key.who(request)
        if not found:
            raise HTTPException(403)
        return found

    async def by_link(self, request: Request) -> Response:
        """Let a mentor in who has the link."""
        if not self.key.fits(request.path_params["link"]):
            raise HTTPException(403)
        answer = RedirectResponse("/mentor", SEE_OTHER)
        answer.set_cookie(COOKIE, self.key.cookie(), max_age=DAY, httponly=True, samesite="lax", path="/mentor")
        return answer

    async def shown(self, request: Request) -> Response:
        """Show how far each is."""
        who = self._who(request)
        if request.query_params.get("at") == "end" and self.room.open:
            return self._page(request, who, ending=True)
        return self._page(request, who)

    async def _form(self, request: Request, most: int = guard.MOST_BYTES) -> tuple[str, dict[str, str]]:
        """Return who sent a form, and what it holds; raises `HTTPException` for who is no mentor."""
        who = self._who(request)
        fields = dict(await guard.fields(request, most))
        if not guard.from_here(request) or not self.door.knows(who, fields.get("key", "")):
            raise HTTPException(403)
        return who, fields

    async def asked(self, request: Request) -> Response:
        """Do what the mentor wants, and show how far each is then."""
        who, fields = await self._form(request)
        do, say = fields.get("do", ""), fields.get("say", "")
        try:
            if do == "begin":
                await self._begin(say)
            elif do in self._deeds:
                self._deeds[do](say)
            else:
                raise HTTPException(400)
        except JournalError:
            raise
        except DiagnoseError as told:
            return self._page(request, who, str(told), 409)
        return self._done()

    def _done(self) -> Response:
        """Tell every page, and show how far each is."""
        for seat in self.room.seats.values():
            self.watchers.moved(seat_name(seat), seat.count)
        self.watchers.moved(MENTOR, 0)
        return RedirectResponse("/mentor", SEE_OTHER)

    async def engine(self, request: Request) -> Response:
        """Ask what the engine of a class does, and then what is hidden."""
        who = self._who(request)
        if self.room.open:
            return RedirectResponse("/mentor", SEE_OTHER)
        return hiding.asked(request, self.room.knowledge, self.door.token(who), request.query_params.get("symptom", ""))

    async def chosen(self, request: Request) -> Response:
        """Begin a class at the engine that was chosen; what can't be says so, with all that was chosen as it was."""
        who, fields = await self._form(request, hiding.MOST_BYTES)
        hidden = hiding.hidden(self.room.knowledge, fields)
        try:
            self.room.refuse_second()
            wish = hidden.wish(secrets.token_hex(4))
            self.room.begin(await run_in_threadpool(together, self.room.knowledge, wish))
        except JournalError:
            raise
        except DiagnoseError as told:
            return hiding.refused(request, self.room.knowledge, self.door.token(who), hidden, str(told))
        return self._done()

    async def _begin(self, level: str) -> None:
        self.room.refuse_second()
        if level not in {one.id for one in phone_class.levels()}:
            raise HTTPException(400)
        begun = await run_in_threadpool(to_level, self.room.knowledge, int(level), secrets.token_hex(4))
        self.room.begin(begun)

    def _hint(self, seat: str) -> None:
        if not (seat.isascii() and seat.isdecimal() and len(seat) < 4):
            raise HTTPException(400)
        self.room.hint(int(seat))

    async def live(self, request: Request) -> Response:
        """Stream how far each is, whenever somebody has done something, and as the minutes go by."""
        who = self._who(request)
        if not self.watchers.may_watch(who):
            raise HTTPException(503)

        async def rows() -> AsyncIterator[dict[str, str]]:
            async for _ in self.watchers.watch(MENTOR, who, 0, EVERY):
                yield {"data": render.page("seats.html", **self._rows(who))}

        return EventSourceResponse(rows(), ping=PING)

    async def sheet(self, request: Request) -> Response:
        """Show the one sheet of the class, once it has ended: the hidden fault stands on it."""
        self._who(request)
        if self.room.of is None or not self.room.ended:
            return plain(request, 403, phone_class.NO_DEBRIEF)
        found = came_to(self.room.journal, self.room.knowledge, self.room.of)
        text = class_sheet.class_sheet(self.room.knowledge, found, lambda _: phone_class.REOPEN)
        return _read(request, phone_class.THE_SHEET, text)

    async def debrief(self, request: Request) -> Response:
        """Show how one looked for it, once the class has ended; the marks are the learner's own."""
        self._who(request)
        seat = self.room.seats.get(request.path_params["seat"])
        if seat is None or not self.room.ended:
            return plain(request, 403, phone_class.NO_DEBRIEF)
        text = debrief(seat.practice, self.room.debrief(seat), self.room.next_line(seat), marks=False)
        return _read(request, phone_class.debrief_of(seat.nickname), text)

    def _seen(self, seat: PhoneSeat) -> phone_class.SeatSeen:
        since = (self.room.steady() - seat.moved) / 60
        return phone_class.SeatSeen(seat.nickname, seat.practice, since, seat.given, bool(seat.hint))

    def _rows(self, who: str) -> dict[str, object]:
        room = self.room
        seen = [(seat, self._seen(seat)) for seat in room.seats.values()]
        told: Page = phone_class.jumped(room.jumped)
        return {
            "told_of_all": told,
            "waiting": room.waiting,
            "done": room.open and phone_class.everybody_ended([one for _, one in seen]),
            "seats": [(seat.number, one, phone_class.seen(one)) for seat, one in seen],
            "open": room.open,
            "token": self.door.token(who),
            "class_said": phone_class,
        }

    def _page(
        self, request: Request, who: str, wrong: str = "", status: int = 200, *, ending: bool = False
    ) -> Response:
        room = self.room
        page = render.page(
            "mentor.html",
            title=phone_class.MENTOR,
            now=now(request),
            live="",
            told=wrong,
            again=AGAIN if room.open and not ending else 0,
            ending=ending,
            engine=phone_class.engine(room.knowledge, room.of.begun) if room.of is not None else (),
            ended=room.ended,
            here=who == WHO,
            choose=CHOOSE,
            **self._rows(who),
        )
        return HTMLResponse(page, status)


def _read(request: Request, heading: str, text: Page) -> Response:
    shell = {"back_said": phone_class.TO_CLASS, "title": heading, "now": now(request), "live": "", "told": ""}
    return HTMLResponse(render.page("read.html", **shell, heading=heading, text=text, back="/mentor"))
