"""A mate's phone at the driver's own walk: it shows the list that is owed now, ticks the line at hand, and no more.

It runs as a task of the bench's own loop, so one thread alone uses the journal.
"""

from __future__ import annotations

import asyncio
import contextlib
import secrets
import socket
from collections import OrderedDict

from sse_starlette import EventSourceResponse
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route
from uvicorn import Server

from diagnose.errors import DiagnoseError
from diagnose.pages import mate, phone
from diagnose.pages.hazards import urgent
from diagnose.pages.parts import AnswerPart
from diagnose.pages.round import SOUND, RoundPage, round_page
from diagnose.pages.step import step_page
from diagnose.phones import places, render
from diagnose.phones.app import NO_ANSWER, PING, TOO_LATE
from diagnose.phones.door import Door, spaced
from diagnose.phones.entrance import SEE_OTHER, file_routes, sent, starlette, visitor, ways_in
from diagnose.phones.form import FormSent, filled, take
from diagnose.phones.learning import AGAIN
from diagnose.phones.put import Put, Sent, Tap
from diagnose.phones.serve import server
from diagnose.phones.shown import named, put
from diagnose.phones.visit import Visit
from diagnose.phones.watch import Watchers
from diagnose.reason import events as ev
from diagnose.reason.walk import Walk
from diagnose.record.journal import JournalError
from diagnose.workshop.mate import DriversBench, Invited, MateSaid
from diagnose.workshop.once import TooLate, record_at
from diagnose.workshop.session import Away, Session

MOST_VISITS = 12
NOT_SO = "not so"


def invite(bench: DriversBench) -> Invited:
    """Let a mate in at the walk of a bench, from the running loop. Raises `DiagnoseError`."""
    found = places.addresses()
    if not found:
        raise DiagnoseError(mate.NO_NETWORK)
    return invited_at(found[0], bench)


def invited_at(address: str, bench: DriversBench) -> Invited:
    """Let a mate in at one address of this computer, and at no other."""
    sockets = places.listening(address, None, here=False)
    door = Door(secrets.token_bytes(32))
    pages = MatePages(bench, door)
    running = server(starlette(pages.routes(), [address], pages.emergency))
    running.capture_signals = contextlib.nullcontext  # type: ignore[method-assign,assignment]  # they are the bench's
    task = asyncio.get_running_loop().create_task(_serve(running, sockets))
    port = sockets[0].getsockname()[1]
    picture = places.in_blocks(places.qr(places.link(address, port, door.code)))

    def end() -> None:
        _stop(running, task)

    return Invited(bench.session.outing, f"http://{address}:{port}", spaced(door.code), picture, pages.moved, end)


async def _serve(running: Server, sockets: list[socket.socket]) -> None:
    """Serve until it is ended, or until the program is left."""
    try:
        await running.serve(sockets=sockets)
    finally:
        for one in sockets:
            one.close()


def _stop(running: Server, task: asyncio.Task[None]) -> None:
    """Let the server come to its end by itself; the task is held until then."""
    running.should_exit = True
    task.add_done_callback(lambda done: done.cancelled() or done.exception())


class MatePages:
    """What a mate can ask for: the list, how to look, and what is sent of the line at hand."""

    def __init__(self, bench: DriversBench, door: Door) -> None:
        self.driver, self.told, self.led = bench
        self.door = door
        self.outing = self.driver.outing
        self.watchers = Watchers()
        self.emergency = render.Emergency(self.driver.knowledge)
        self.not_so = ""
        """The step of which the driver was told: it is his, until he has answered."""
        self._visits: OrderedDict[str, Visit] = OrderedDict()

    def routes(self) -> list[Route]:
        """Return what there is."""
        return [
            Route("/", self.shown),
            Route("/", self.answer, methods=["POST"]),
            *ways_in(self.door),
            Route("/live", self.live),
            Route("/now", self.now),
            *file_routes(),
        ]

    def moved(self) -> None:
        """Tell the phones that the driver has answered."""
        if _at_hand(self.driver) != self.not_so:
            self.not_so = ""
        self.watchers.moved(self.outing, len(self.driver.walk.events) if self.driver.walk else 0)

    async def shown(self, request: Request) -> Response:
        """Show the list as it is now, or how to look."""
        who = visitor(self.door, request)
        visit = self._visit(who)
        return self._page(who, visit, self._put(visit, how=request.query_params.get("at") == "how"))

    async def answer(self, request: Request) -> Response:
        """Take a tick, or tell the driver; what is not saved says so, with the list as it is now."""
        who, fields = await sent(self.door, request)
        visit = self._visit(who)
        try:
            form = filled(fields)
        except ValueError as error:
            raise HTTPException(400) from error
        try:
            self._take(visit, form)
        except (TooLate, Away) as told:
            return self._page(who, visit, self._put(visit), str(told), TOO_LATE)
        except JournalError:
            raise
        except (DiagnoseError, KeyError) as told:
            why = str(told) if isinstance(told, DiagnoseError) else phone.NOT_FOUND
            return self._page(who, visit, self._put(visit), why, NO_ANSWER)
        return RedirectResponse("/", SEE_OTHER)

    async def live(self, request: Request) -> Response:
        """Stream how many events the walk has."""
        who = visitor(self.door, request)
        if not self.watchers.may_watch(who):
            raise HTTPException(503)
        return EventSourceResponse(self.watchers.watch(self.outing, who, self._visit(who).count), ping=PING)

    async def now(self, _: Request) -> Response:
        """Show what to do when something goes wrong: this needs no code."""
        found = urgent(self.driver.knowledge)
        return HTMLResponse(render.page("now.html", title=phone.WRONG, found=found, now="", live="", told=""))

    def _visit(self, who: str) -> Visit:
        """Return this phone at the walk, caught up: what it was warned of is its own."""
        if self.driver.outing != self.outing:
            raise HTTPException(404, mate.OVER)
        visit = self._visits.get(who)
        if visit is None:
            own = Session(self.driver.knowledge, self.driver.journal, self.driver.clock)
            own.follow(self.outing)
            visit = self._visits[who] = Visit(own)
            if len(self._visits) > MOST_VISITS:
                self._visits.popitem(last=False)
        visit.session.journal = self.driver.journal  # it is in memory by now, where the disk failed
        visit.session.catch_up()
        return visit

    def _listed(self, visit: Visit) -> RoundPage | None:
        """Return the list whose line at hand a mate may tick; None where the driver's answer is due."""
        step = visit.session.step()
        due = visit.session.due(step)
        if due == "history" and self.led():
            due = visit.session.due(step, led=True)
        if due != "step" or step is None or named(step) == self.not_so:
            return None
        return round_page(visit.walk, visit.view, step)

    def _put(self, visit: Visit, *, how: bool = False) -> Put:
        step = visit.session.step()
        if step is not None and visit.session.due(step) == "cautions":
            return put(visit, led=False)
        listed = self._listed(visit)
        if listed is None or step is None:
            told = step is not None and named(step) == self.not_so
            waited = (Sent("", (Tap("/", mate.LOOK_AGAIN),)),)
            return Put(mate.TOLD if told else mate.WAITS, mate.WAITING, waited, over=step.title if step else "")
        if how:
            page = step_page(visit.view, step, visit.walk.knowledge, visit.walk.variant)
            return Put(step.ask, (*page.text, *page.hazards), (Sent("", (Tap("/", mate.BACK),)),))
        answers = (AnswerPart(SOUND, listed.answers[0].text), Tap("?at=how", mate.HOW))
        forms = (Sent("tick", answers, named(step)), Sent(NOT_SO, (mate.NOT_SO,), named(step)))
        return Put(listed.heading, listed.lines, forms)

    def _take(self, visit: Visit, form: FormSent) -> None:
        """Do what a form says: store a tick, or a note for the driver, and tell the bench. Raises `DiagnoseError`."""
        if form.do == "read":
            take(visit, form, led=False)
            return
        if form.do not in ("tick", NOT_SO):
            raise DiagnoseError("this form says nothing that is known here")
        if form.made_of == visit.count and (self._listed(visit) is None or _at_hand(visit.session) != form.about):
            raise TooLate(phone.NEW_QUESTION_FIRST)
        check = form.about.removeprefix("ask/")

        def make(walk: Walk, at: float) -> ev.Event:
            if check not in walk.scope.checks:
                raise TooLate(phone.NEW_QUESTION_FIRST)
            if form.do == NOT_SO:
                return ev.Noted(at, mate.note(check, walk.knowledge))
            return ev.Answered(at, check, walk.scope.checks[check].healthy)

        if record_at(visit.session, form.made_of, make):
            self.not_so = form.about if form.do == NOT_SO else ""
            self.watchers.moved(self.outing, visit.count)
            self.told(MateSaid(check, form.do == "tick"))

    def _page(self, who: str, visit: Visit, found: Put, told: str = "", status: int = 200) -> Response:
        page = render.page(
            "mate.html",
            title=f"{found.heading} · {mate.NAME}",
            now=self.emergency(visit.walk.variant),
            live="/live",
            follow=not any(one.do for one in found.forms),  # else the page would change under a thumb
            again=AGAIN if found.text == mate.WAITING else 0,
            answered=mate.DRIVER_ANSWERED,
            told=told,
            put=found,
            count=visit.count,
            token=self.door.token(who),
        )
        return HTMLResponse(page, status)


def _at_hand(session: Session) -> str:
    step = session.walk.step(session.clock()) if session.walk is not None else None
    return named(step) if step is not None else ""
