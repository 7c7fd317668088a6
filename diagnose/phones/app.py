"""What phones can ask for, and what they get. Each page is a form; nothing but joining is changed by opening one."""

from __future__ import annotations

import secrets
from typing import NamedTuple

from sse_starlette import EventSourceResponse
from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge, Variant
from diagnose.graph.say import say
from diagnose.pages import home, phone
from diagnose.pages.dates import clock
from diagnose.pages.end import end_page
from diagnose.pages.first_day import OTHER, WHOLE, front, front_page
from diagnose.pages.hazards import urgent
from diagnose.pages.parts import AnswerPart, Heading, Page, Paragraph
from diagnose.phones import render
from diagnose.phones.classroom import Classroom
from diagnose.phones.door import DAY, Door
from diagnose.phones.entrance import SEE_OTHER, file_routes, plain, sent, starlette, visitor, ways_in
from diagnose.phones.form import HOME, filled, take
from diagnose.phones.kind import kind, kind_routes
from diagnose.phones.learning import learning, on_home
from diagnose.phones.put import Put, Tap
from diagnose.phones.shown import put
from diagnose.phones.visit import Visit
from diagnose.phones.walks import MOST_EVENTS, Walks
from diagnose.phones.watch import Watchers
from diagnose.record.journal import JournalError
from diagnose.workshop.once import TooLate
from diagnose.workshop.session import Away

MANNER = "manner"
PING = 20
"""Seconds after which a stream says that it is alive."""
TOO_LATE, NO_ANSWER = 409, 422


class Shared(NamedTuple):
    """What is behind the pages: who comes in, the walks, who watches, the cars that are put up, and the class."""

    door: Door
    walks: Walks
    watchers: Watchers
    cars: dict[str, Page]
    emergency: render.Emergency
    room: Classroom


def shared(door: Door, walks: Walks, cars: dict[str, Page] | None = None) -> Shared:
    """Return what is behind the pages, before anybody came in."""
    room = Classroom(walks.knowledge, walks.journal, walks.clock)
    return Shared(door, walks, Watchers(), cars or {}, render.Emergency(walks.knowledge), room)


def made(behind: Shared, hosts: list[str], more: list[Route] | None = None) -> Starlette:
    """Return the pages; they answer to these hosts alone."""
    pages = _Pages(behind)
    routes = [
        Route("/", pages.home),
        Route("/", pages.begin, methods=["POST"]),
        *ways_in(behind.door),
        Route("/walks/{walk}", pages.walk),
        Route("/walks/{walk}", pages.answer, methods=["POST"]),
        Route("/walks/{walk}/live", pages.live),
        Route("/walks/{walk}/list", pages.listed),
        Route("/cars/{car:int}", pages.car),
        Route("/now", pages.now),
        *kind_routes(behind.door, behind.emergency),
        *learning(behind.door, behind.room, behind.watchers, behind.emergency),
        *file_routes(),
        *(more or []),
    ]
    return starlette(routes, hosts, behind.emergency)


class _Pages:
    """The pages of walks."""

    def __init__(self, behind: Shared) -> None:
        self.door, self.walks, self.watchers, self.cars, self.emergency, self.room = behind

    async def home(self, request: Request) -> Response:
        """Ask what it does, and list this visitor's walks."""
        who, known = visitor(self.door, request), self.walks.knowledge
        words, everything = request.query_params.get("words", "")[:60], "all" in request.query_params
        listed: tuple[object, ...] = ()
        if everything:
            groups = (
                (Heading(when), *(_symptom(known, name) for name, _ in found)) for when, found in home.by_when(known)
            )
            listed = tuple(one for group in groups for one in group)
        elif words.strip():
            from diagnose.graph.seek import seeker  # with what compares words, wanted here alone

            listed = tuple(_symptom(known, one.id) for one in seeker(known, "symptoms").find(words, most=8))
            listed = (*(listed or (Paragraph(home.NOTHING),)), Tap("/?all", phone.ALL_SYMPTOMS))
        offered = (
            ()
            if listed
            else tuple(
                Tap("/?all", one.text) if one.id in (OTHER, WHOLE) else one for one in front(known) if one.id != WHOLE
            )
        )
        return HTMLResponse(
            render.page(
                "home.html",
                **self._shell(phone.NAME, kind(request)),
                heading=home.HEADING,
                text=() if listed else front_page(kind(request)),
                engine=not listed,
                front=offered,
                beside=() if listed else on_home(self.room, who),
                words=words,
                listed=listed,
                mine=[] if listed else self._mine(who),
                cars=[] if listed else list(self.cars),
                token=self.door.token(who),
                once=secrets.token_urlsafe(6),
            )
        )

    async def begin(self, request: Request) -> Response:
        """Begin a walk; the form sent twice begins one."""
        who, fields = await sent(self.door, request)
        form = dict(fields)
        symptom = form.get("say", "")
        if symptom not in self.walks.knowledge.symptoms:
            raise HTTPException(404, phone.NOT_FOUND)
        try:
            walk = self.walks.begin(who, symptom, form.get("once", "")[:20], led=_led(request), variant=kind(request))
        except JournalError:
            raise
        except DiagnoseError as error:
            return plain(request, 429, str(error))
        return RedirectResponse(f"/walks/{walk}", SEE_OTHER)

    async def walk(self, request: Request) -> Response:
        """Show what a walk puts."""
        who, visit = self._visit(request)
        asked = request.query_params
        if (manner := asked.get("manner")) in ("led", "whole"):
            answer = RedirectResponse(request.url.path, SEE_OTHER)
            answer.set_cookie(MANNER, manner, max_age=DAY, httponly=True, samesite="lax")
            return answer
        part = asked.get("part", "1")
        found = put(
            visit,
            led=_led(request),
            at=asked.get("at", ""),
            part=int(part) if part.isascii() and part.isdecimal() and len(part) < 3 else 1,
            words=asked.get("words", "")[:60],
        )
        return self._shown(request, who, visit, found)

    async def answer(self, request: Request) -> Response:
        """Take an answer, and go to what is put next; what is not saved says so, with the question as it is now."""
        who, fields = await sent(self.door, request)
        visit, led = self._of(request, who), _led(request)
        try:
            form = filled(fields)
        except ValueError as error:
            raise HTTPException(400) from error
        before = visit.count
        try:
            if before >= MOST_EVENTS and form.do != "end":
                raise DiagnoseError(phone.TOO_LONG)
            then = take(visit, form, led=led)
        except (TooLate, Away) as told:
            return self._shown(request, who, visit, put(visit, led=led), str(told), TOO_LATE)
        except JournalError:
            raise
        except (DiagnoseError, KeyError) as told:
            why = str(told) if isinstance(told, DiagnoseError) else phone.NOT_FOUND
            return self._shown(request, who, visit, put(visit, led=led, at="look"), why, NO_ANSWER)
        finally:
            if visit.count != before:
                self.watchers.moved(request.path_params["walk"], visit.count)
        if then == HOME:
            return RedirectResponse("/", SEE_OTHER)
        return RedirectResponse(f"{request.url.path}{f'?at={then}' if then else ''}", SEE_OTHER)

    async def live(self, request: Request) -> Response:
        """Stream how many events a walk has, whenever that has changed."""
        who, visit = self._visit(request)
        if not self.watchers.may_watch(who):
            raise HTTPException(503)
        watch = self.watchers.watch(request.path_params["walk"], who, visit.count)
        return EventSourceResponse(watch, ping=PING)

    async def listed(self, request: Request) -> Response:
        """Show what is handed over, to print it or to show it."""
        _, visit = self._visit(request)
        view = visit.view
        if view.verdict is None:
            return RedirectResponse(f"/walks/{request.path_params['walk']}", SEE_OTHER)
        text = end_page(view, view.verdict, visit.session.knowledge, visit.session.owed_at_end())
        return self._read(phone.PRINT, text, visit.walk.variant)

    async def car(self, request: Request) -> Response:
        """Show the page of a car that its owner has put up."""
        visitor(self.door, request)
        number = request.path_params["car"]
        if number >= len(self.cars):
            raise HTTPException(404, phone.NOT_FOUND)
        name = list(self.cars)[number]
        return self._read(name, self.cars[name], Variant())

    async def now(self, _: Request) -> Response:
        """Show what to do when something goes wrong: this needs no code, and prints on a sheet."""
        found = urgent(self.walks.knowledge)
        return HTMLResponse(render.page("now.html", title=phone.WRONG, found=found, now="", live="", told=""))

    def _visit(self, request: Request) -> tuple[str, Visit]:
        who = visitor(self.door, request)
        return who, self._of(request, who)

    def _of(self, request: Request, who: str) -> Visit:
        try:
            return self.walks.visit(who, request.path_params["walk"])
        except JournalError:
            raise
        except DiagnoseError as error:
            raise HTTPException(404, phone.NOT_FOUND) from error

    def _mine(self, who: str) -> list[Tap]:
        found = []
        for walk in self.walks.of(who)[:8]:
            name = self.walks.knowledge.symptoms[self.walks.served[walk].symptom].name
            found.append(Tap(f"/walks/{walk}", name, clock(self.walks.served[walk].at)))
        return found

    def _shell(self, title: str, engine: Variant, told: str = "") -> dict[str, object]:
        return {"title": title, "now": self.emergency(engine), "live": "", "told": told, "follow": False}

    def _read(self, heading: str, text: Page, engine: Variant) -> Response:
        shell = self._shell(heading, engine)
        return HTMLResponse(render.page("read.html", **shell, heading=heading, text=text, back=""))

    def _shown(
        self, request: Request, who: str, visit: Visit, found: Put, told: str = "", status: int = 200
    ) -> Response:
        walk = request.path_params["walk"]
        shell = self._shell(f"{found.heading} · {phone.NAME}", visit.walk.variant, told)
        return HTMLResponse(
            render.page(
                "walk.html",
                **{**shell, "live": f"/walks/{walk}/live"},
                put=found,
                walk=walk,
                count=visit.count,
                led=_led(request),
                token=self.door.token(who),
            ),
            status,
        )


def _symptom(known: Knowledge, name: str) -> AnswerPart:
    symptom = known.symptoms[name]
    return AnswerPart(name, symptom.name, say(symptom.does, known))


def _led(request: Request) -> bool:
    """Say whether this phone is led one thing at a time; it is, unless somebody chose otherwise on it."""
    return request.cookies.get(MANNER) != "whole"
