"""The pages of a class for those who learn: a seat by the nickname, and each their own engine, the same for all."""

from __future__ import annotations

from collections.abc import AsyncIterator
from functools import partial

from sse_starlette import EventSourceResponse
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Variant
from diagnose.pages import class_sheet, phone, phone_class
from diagnose.pages.debrief import HEADING, at_last, own_way
from diagnose.pages.parts import Page
from diagnose.phones import bench, deeds, render
from diagnose.phones.classroom import Classroom, PhoneSeat
from diagnose.phones.door import Door
from diagnose.phones.entrance import SEE_OTHER, plain, sent, visitor
from diagnose.phones.form import FormSent, filled
from diagnose.phones.put import Put, Tap
from diagnose.phones.watch import Watchers
from diagnose.practice.happenings import Ruled
from diagnose.record.journal import JournalError
from diagnose.workshop.class_sheet import came_to
from diagnose.workshop.once import TooLate

MENTOR = "mentor"
"""What the mentor's page watches."""
PING = 20
AGAIN = 5
"""Seconds after which a page that waits is loaded again where no script runs."""
CLASS = "/class"
CASE = "case"
THEN = {"rule": bench.TO_CASE, CASE: bench.TO_CASE}
"""What is looked at after a form: what comes next, or what came of it."""


def seat_name(seat: PhoneSeat) -> str:
    """Return what the phone of a seat watches."""
    return f"seat/{seat.number}"


def state(room: Classroom, seat: PhoneSeat) -> str:
    """Return in a word how a seat stands, so that its page can tell whether it is still the newest."""
    return f"{seat.count}{'w' * room.waiting}{'e' * room.ended}{'h' * bool(seat.hint)}"


def on_home(room: Classroom, who: str) -> tuple[Tap, ...]:
    """Return the way into the class from the first page, where there is one."""
    seat = room.seat(who)
    if seat is not None:
        return (Tap(CLASS, phone_class.CLASS, seat.nickname),)
    return (Tap(CLASS, phone_class.SIT_DOWN),) if room.open else ()


def learning(door: Door, room: Classroom, watchers: Watchers, emergency: render.Emergency) -> list[Route]:
    """Return the routes of those who learn."""
    pages = _Learning(door, room, watchers, emergency)
    return [
        Route(CLASS, pages.shown),
        Route(CLASS, pages.answer, methods=["POST"]),
        Route(f"{CLASS}/live", pages.live),
        Route(bench.TO_WAY, pages.debrief),
        Route(bench.TO_MARKS, pages.marks),
        Route(bench.TO_SHEET, pages.sheet),
    ]


class _Learning:
    def __init__(self, door: Door, room: Classroom, watchers: Watchers, emergency: render.Emergency) -> None:
        self.door, self.room, self.watchers, self.emergency = door, room, watchers, emergency

    async def shown(self, request: Request) -> Response:
        """Show what the class puts to this phone."""
        who, at = visitor(self.door, request), request.query_params.get("at", "")[:60]
        if at == CASE:
            await self._work_out_case(who)
        return self._page(request, who, at=at)

    async def answer(self, request: Request) -> Response:
        """Take what was done, and go to what came of it; what is not saved says so."""
        who, fields = await sent(self.door, request)
        try:
            form = filled(fields)
        except ValueError as error:
            raise HTTPException(400) from error
        if form.do == CASE:
            await self._work_out_case(who)
        try:
            self._take(who, form)
        except TooLate as told:
            return self._page(request, who, str(told), 409)
        except JournalError:
            raise
        except DiagnoseError as told:
            return self._page(request, who, f"{told}", 422)
        return RedirectResponse(THEN.get(form.do, CLASS), SEE_OTHER)

    async def _work_out_case(self, who: str) -> None:
        """Work a learner's new case out beside the loop, which others wait for."""
        seat = self.room.seat(who)
        if seat is not None and self.room.ended:
            await run_in_threadpool(self.room.new_case, seat)

    def _take(self, who: str, form: FormSent) -> None:
        seat = self.room.seat(who)
        if seat is None or form.do == "sit":
            if form.do != "sit":
                raise TooLate(phone_class.NO_QUESTION)
            self.room.sit(who, form.typed)
            self.watchers.moved(MENTOR, 0)
            return
        if form.do == "read":
            self.room.read_hint(seat)
        elif form.do == CASE:
            if not self.room.ended:
                raise TooLate(phone_class.NO_DEBRIEF)
            self.room.record(seat, form.made_of, lambda _: deeds.named(form, self.room.new_case(seat)))
        else:
            self.room.record(seat, form.made_of, partial(deeds.event, form))
        self.watchers.moved(seat_name(seat), seat.count)
        self.watchers.moved(MENTOR, 0)

    async def live(self, request: Request) -> Response:
        """Stream how this phone's seat stands, whenever that has changed."""
        who = visitor(self.door, request)
        seat = self._seat(who)
        if not self.watchers.may_watch(who):
            raise HTTPException(503)

        async def states() -> AsyncIterator[dict[str, str]]:
            async for _ in self.watchers.watch(seat_name(seat), who, 0):
                yield {"data": state(self.room, self.room.seats.get(seat.number, seat))}

        return EventSourceResponse(states(), ping=PING)

    async def debrief(self, request: Request) -> Response:
        """Show a learner the own way beside the program's, once the class has ended."""
        seat = self._seat(visitor(self.door, request))
        if not self.room.ended:
            return plain(request, 403, phone_class.NO_DEBRIEF)
        text = own_way(seat.practice, self.room.debrief(seat))
        then = bench.TO_RULE if seat.practice.said(Ruled) is None else bench.TO_CASE
        return self._read(HEADING, text, seat.practice.variant, Tap(then, phone_class.ON))

    async def marks(self, request: Request) -> Response:
        """Show a learner what to try next, and the marks, once the class has ended."""
        seat = self._seat(visitor(self.door, request))
        if not self.room.ended:
            return plain(request, 403, phone_class.NO_DEBRIEF)
        text = at_last(seat.practice, self.room.debrief(seat), self.room.next_line(seat))
        return self._read(phone_class.MY_MARKS, text, seat.practice.variant)

    async def sheet(self, request: Request) -> Response:
        """Show the one sheet of the class, once it has ended: it names nobody's marks."""
        seat = self._seat(visitor(self.door, request))
        if self.room.of is None or not self.room.ended:
            return plain(request, 403, phone_class.NO_DEBRIEF)
        found = came_to(self.room.journal, self.room.knowledge, self.room.of)
        text = class_sheet.class_sheet(self.room.knowledge, found, lambda _: phone_class.REOPEN)
        return self._read(phone_class.THE_SHEET, text, seat.practice.variant)

    def _seat(self, who: str) -> PhoneSeat:
        seat = self.room.seat(who)
        if seat is None:
            raise HTTPException(404, phone.NOT_FOUND)
        return seat

    def _read(self, heading: str, text: Page, engine: Variant, then: Tap | None = None) -> Response:
        shell = {
            "back_said": phone_class.TO_CLASS,
            "title": heading,
            "now": self.emergency(engine),
            "live": "",
            "told": "",
        }
        return HTMLResponse(render.page("read.html", **shell, heading=heading, text=text, back=CLASS, then=then))

    def _page(self, request: Request, who: str, told: str = "", status: int = 200, at: str = "") -> Response:
        room, seat = self.room, self.room.seat(who)
        if seat is None and not room.open:
            return plain(request, 404, phone_class.NO_CLASS)
        put: Put = bench.to_sit() if seat is None else bench.put(room, seat, at)
        typed = any(one.field for one in put.forms)
        waits = seat is not None and not room.ended and (room.waiting or bool(seat.practice.ended and not put.forms))
        page = render.page(
            "seat.html",
            title=f"{put.heading} · {phone_class.CLASS}",
            now=self.emergency(seat.practice.variant if seat is not None else Variant()),
            live="" if seat is None or typed else f"{CLASS}/live",
            count="" if seat is None else state(room, seat),
            follow=True,
            told=told,
            again=AGAIN if waits else 0,
            put=put,
            n=0 if seat is None else seat.count,
            token=self.door.token(who),
        )
        return HTMLResponse(page, status)
