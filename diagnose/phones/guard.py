"""What every request has to be, and every answer says: a small form from a page of ours, and nothing from outside."""

from __future__ import annotations

from urllib.parse import parse_qsl

from starlette.datastructures import MutableHeaders
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect, Request
from starlette.responses import Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

MOST_OF_HEAD = 8192
"""Bytes of a request's head."""
MOST_BYTES = 2048
"""Of a form."""
MOST_FIELDS = 12
FORM = "application/x-www-form-urlencoded"
HEADERS = {
    "content-security-policy": "default-src 'none'; style-src 'self'; script-src 'self'; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
    "cache-control": "no-store",
    "referrer-policy": "same-origin",
    "x-content-type-options": "nosniff",
}


class Headers:
    """Puts the same headers on every answer, errors too; a head that is too long is answered with nothing else."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on."""

        async def sent(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
            await send(message)

        if scope["type"] == "http" and head_bytes(scope) > MOST_OF_HEAD:  # one that came at once, h11 takes whole
            await Response(status_code=431)(scope, receive, sent)
        else:
            await self.app(scope, receive, sent)


def head_bytes(scope: Scope) -> int:
    """Return how long the head of a request is, without its line ends."""
    named = sum(len(name) + len(value) for name, value in scope["headers"])
    return named + len(scope["raw_path"]) + len(scope["query_string"])


def from_here(request: Request) -> bool:
    """Say whether a form was sent from a page of this very address: a browser says so in `Origin`."""
    return request.headers.get("origin", "") == f"http://{request.headers.get('host', '')}"


async def fields(request: Request, most: int = MOST_BYTES) -> list[tuple[str, str]]:
    """Return what a form holds; raises `HTTPException` for what is too big, or no form."""
    if request.headers.get("content-type", "").partition(";")[0].strip().lower() != FORM:
        raise HTTPException(415)
    length = request.headers.get("content-length", "0")
    if not length.isdecimal() or int(length) > most:
        raise HTTPException(413)
    body = b""
    try:
        async for chunk in request.stream():
            body += chunk
            if len(body) > most:
                raise HTTPException(413)
    except ClientDisconnect as error:  # it was cut: nobody reads the answer
        raise HTTPException(400) from error
    try:
        return parse_qsl(
            body.decode("ascii"),
            keep_blank_values=True,
            strict_parsing=bool(body),
            max_num_fields=MOST_FIELDS,
            errors="strict",
        )
    except ValueError as error:
        raise HTTPException(400) from error
