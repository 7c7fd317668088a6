"""What only this computer sees: both codes, on a page of its own and on a sheet, and the way to a new one."""

from __future__ import annotations

import io
from typing import NamedTuple

from markupsafe import Markup
from segno import QRCode
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from diagnose.graph.model import Knowledge
from diagnose.pages import phone
from diagnose.pages.hazards import urgent
from diagnose.paper.sheet import DEFER
from diagnose.phones import guard, render
from diagnose.phones.door import Door, spaced
from diagnose.phones.entrance import SEE_OTHER, now
from diagnose.phones.places import LOOPBACK, link, qr, wifi

WHO = "here"
"""Who sends the forms of this page."""


class Doorway(NamedTuple):
    """Where phones come in."""

    address: str
    port: int
    wifi: str = ""
    password: str = ""


class Codes(NamedTuple):
    """Both codes as pictures, and what is typed where no camera reads them."""

    wifi: str
    wifi_code: Markup
    join_code: Markup
    typed: str


def codes(place: Doorway, code: str) -> Codes:
    """Return the codes that lead to a place."""
    return Codes(
        phone.wifi(place.wifi, place.password) if place.wifi else "",
        _svg(wifi(place.wifi, place.password)) if place.wifi else Markup(),
        _svg(qr(link(place.address, place.port, code))),
        phone.typed_address(f"http://{place.address}:{place.port}", spaced(code)),
    )


def _svg(code: QRCode) -> Markup:
    out = io.BytesIO()
    code.save(out, kind="svg", xmldecl=False, svgns=False, nl=False, omitsize=True, light="#fff", border=4)
    return Markup(out.getvalue().decode())  # made of numbers alone


def sheet(place: Doorway, code: str, known: Knowledge) -> str:
    """Return a sheet to print: both codes, and what to do when something goes wrong."""
    return render.page("codes_sheet.html", codes=codes(place, code), found=urgent(known), defer=DEFER)


def own(request: Request) -> bool:
    """Say whether a request comes from this computer's own browser."""
    ends = request.scope["server"][0], request.scope["client"][0]
    return ends == (LOOPBACK, LOOPBACK)


def here(place: Doorway, door: Door) -> list[Route]:
    """Return the routes that this computer's own browser alone can use."""

    def from_this_computer(request: Request) -> None:
        if not own(request):
            raise HTTPException(403)

    async def shown(request: Request) -> Response:
        from_this_computer(request)
        page = render.page(
            "here.html",
            title=phone.SHEET,
            codes=codes(place, door.code),
            token=door.token(WHO),
            now=now(request),
            live="",
            told="",
        )
        return HTMLResponse(page)

    async def renewed(request: Request) -> Response:
        from_this_computer(request)
        fields = dict(await guard.fields(request))
        if not guard.from_here(request) or not door.knows(WHO, fields.get("key", "")):
            raise HTTPException(403)
        door.renew()
        return RedirectResponse("/here", SEE_OTHER)

    return [Route("/here", shown), Route("/here", renewed, methods=["POST"])]
