"""Which kind of engine a phone's next walk is about: asked in the words of a new engine, kept on that phone alone."""

from __future__ import annotations

from typing import Literal

from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from diagnose.graph.model import Variant
from diagnose.pages import phone
from diagnose.pages.engine import ASKED, STARTERS
from diagnose.pages.parts import PickPart
from diagnose.phones import render
from diagnose.phones.door import DAY, Door
from diagnose.phones.entrance import SEE_OTHER, sent, visitor

KIND = "kind"
QUESTIONS = tuple(part for part in ASKED if isinstance(part, PickPart))
TAKEN = (1, 0, 0, 0)
"""Which answer of each question is taken where nobody has said."""


def kind(request: Request) -> Variant:
    """Return the kind of engine that was chosen on this phone; what is no choice counts as none."""
    needles, starter, age, low = _chosen(request)
    count: Literal[2, 3] = 2 if needles == 0 else 3
    return Variant(count, (*STARTERS, "box")[starter], age != 1, low == 1)


def _chosen(request: Request) -> tuple[int, ...]:
    digits = request.cookies.get(KIND, "")
    if len(digits) != len(QUESTIONS) or not (digits.isascii() and digits.isdecimal()):
        return TAKEN
    found = tuple(map(int, digits))
    return found if all(one < len(asked.answers) for one, asked in zip(found, QUESTIONS, strict=True)) else TAKEN


def kind_routes(door: Door, emergency: render.Emergency) -> list[Route]:
    """Return the page on which the kind of engine is chosen."""

    async def shown(request: Request) -> Response:
        who = visitor(door, request)
        page = render.page(
            "kind.html",
            title=phone.ENGINE,
            asked=tuple(zip(QUESTIONS, _chosen(request), strict=True)),
            token=door.token(who),
            now=emergency(kind(request)),
            live="",
            told="",
        )
        return HTMLResponse(page)

    async def chosen(request: Request) -> Response:
        _, fields = await sent(door, request)
        said = dict(fields)
        ids = [[answer.id for answer in asked.answers] for asked in QUESTIONS]
        picked = [
            known.index(said[asked.id]) if said.get(asked.id) in known else taken
            for known, asked, taken in zip(ids, QUESTIONS, TAKEN, strict=True)
        ]
        answer = RedirectResponse("/", SEE_OTHER)
        answer.set_cookie(KIND, "".join(map(str, picked)), max_age=DAY, httponly=True, samesite="lax")
        return answer

    return [Route("/engine", shown), Route("/engine", chosen, methods=["POST"])]
