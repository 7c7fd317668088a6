"""Who may ask for anything at all, what is told to who may not, and the files that are served as they are."""

from __future__ import annotations

import traceback
from collections.abc import Awaitable, Callable, Mapping
from contextlib import suppress

from markupsafe import Markup
from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from diagnose.folders import home
from diagnose.graph.model import Variant
from diagnose.pages import phone
from diagnose.phones import guard, render
from diagnose.phones.door import DAY, Door
from diagnose.record.journal import JournalError

COOKIE = "visitor"
SEE_OTHER = 303
PLAIN: Mapping[int, str] = {
    400: "what was sent can't be read",
    401: phone.JOIN,
    403: "this was not sent from a page of ours: open the page again, and answer there",
    404: phone.NOT_FOUND,
    405: "this page can't be used like that",
    413: "that was too long",
    415: "only the forms of these pages are read",
    429: phone.TOO_MANY_FORMS,
    503: "nothing was saved: tell whoever runs this",
}


def file_routes() -> list[Route]:
    """Return the routes of the files that are served as they are: a table, and no folder."""

    def serve(name: str) -> Callable[[Request], Awaitable[Response]]:
        async def served(_: Request) -> Response:
            kept = {"cache-control": "max-age=86400"}
            return Response(render.files()[name], media_type=render.SERVED[name], headers=kept)

        return served

    return [Route(f"/{name}", serve(name)) for name in render.SERVED]


def starlette(routes: list[Route], hosts: list[str], emergency: render.Emergency) -> Starlette:
    """Return an application of these routes behind what guards all of them."""
    made = Starlette(
        routes=routes,
        middleware=[
            Middleware(guard.Headers),
            Middleware(TrustedHostMiddleware, allowed_hosts=hosts, www_redirect=False),
        ],
        exception_handlers={HTTPException: _refused, JournalError: _unsaved, Exception: _broken},
    )
    made.state.emergency = emergency
    return made


def now(request: Request) -> Markup:
    """Return what to do when something goes wrong, for somebody whose engine is not known."""
    emergency: render.Emergency = request.app.state.emergency
    return emergency(Variant())


def plain(request: Request, status: int, text: str) -> Response:
    """Return a page that says one thing."""
    shell = {"title": phone.NAME, "now": now(request), "live": "", "told": ""}
    return HTMLResponse(render.page("read.html", **shell, heading=text, text=(), back=""), status)


def _refused(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    if error.status_code == 401:
        return HTMLResponse(_join(request, ""), 401)
    told = error.detail if error.status_code == 404 else PLAIN.get(error.status_code, phone.NOT_FOUND)
    return plain(request, error.status_code, told)


def _unsaved(request: Request, error: Exception) -> Response:
    return plain(request, 503, PLAIN[503])


def _broken(request: Request, error: Exception) -> Response:
    with suppress(OSError), (home() / "crash-serve.log").open("a", encoding="utf-8") as log:
        log.write("".join(traceback.format_exception(error)))
    return plain(request, 500, PLAIN[503])


def _join(request: Request, wrong: str) -> str:
    return render.page("join.html", title=phone.JOIN, wrong=wrong, now=now(request), live="", told="")


def address(request: Request) -> str:
    """Return where a request comes from."""
    return request.client.host if request.client else ""


def ways_in(door: Door) -> list[Route]:
    """Return the routes by which somebody comes in: with the code that was scanned, or typed."""

    async def scanned(request: Request) -> Response:
        return _joined(door, request, request.path_params["code"])

    async def typed(request: Request) -> Response:
        if not guard.from_here(request):  # before that nobody has a token, but the form must be from here
            raise HTTPException(403)
        return _joined(door, request, dict(await guard.fields(request)).get("code", ""))

    return [Route("/j/{code}", scanned), Route("/join", typed, methods=["POST"])]


def _joined(door: Door, request: Request, typed: str) -> Response:
    """Let somebody in who knows the code; a wrong one is told, and counted."""
    where = address(request)
    if not door.may_try(where):
        return HTMLResponse(_join(request, phone.TOO_MANY_TRIES), 429)
    if not door.opens(typed, where):
        return HTMLResponse(_join(request, phone.WRONG_CODE), 403)
    answer = RedirectResponse("/", SEE_OTHER)
    answer.set_cookie(COOKIE, door.cookie(), max_age=DAY, httponly=True, samesite="lax")
    return answer


async def sent(door: Door, request: Request) -> tuple[str, list[tuple[str, str]]]:
    """Return who sent a form, and what it holds; raises `HTTPException` for what is from elsewhere, or too much."""
    who = visitor(door, request)
    if not guard.from_here(request):
        raise HTTPException(403)
    if not door.may_send(who, address(request)):
        raise HTTPException(429)
    fields = await guard.fields(request)
    if not door.knows(who, dict(fields).get("key", "")):
        raise HTTPException(403)
    return who, fields


def visitor(door: Door, request: Request) -> str:
    """Return who asks; raises `HTTPException` for who has not come in."""
    found = door.visitor(request.cookies.get(COOKIE, ""))
    if not found:
        raise HTTPException(401)
    return found
