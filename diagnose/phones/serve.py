"""The server: one thread, no log, nothing that says what it is, and patience for a request of some seconds."""

from __future__ import annotations

import logging
import socket
from contextlib import suppress

from starlette.types import ASGIApp
from uvicorn import Config, Server

from diagnose.phones.guard import MOST_OF_HEAD
from diagnose.phones.patient import PatientOnly

GRACE = 2
"""Seconds for those that are being answered when the program ends."""


def server(app: ASGIApp) -> Server:
    """Return a server of these pages, which is given its sockets when it runs."""
    logging.getLogger("uvicorn").setLevel(logging.CRITICAL)  # no trace for who runs it: `entrance` writes it down
    return Server(
        Config(
            app,
            http=PatientOnly,
            ws="none",
            loop="asyncio",
            lifespan="off",
            log_config=None,
            access_log=False,
            server_header=False,
            date_header=False,
            proxy_headers=False,
            h11_max_incomplete_event_size=MOST_OF_HEAD,
            timeout_graceful_shutdown=GRACE,
        )
    )


def run(app: ASGIApp, sockets: list[socket.socket]) -> None:
    """Serve until the program is stopped."""
    with suppress(KeyboardInterrupt):  # it was stopped as it should be: all that was answered is saved
        server(app).run(sockets=sockets)
