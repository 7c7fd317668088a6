"""Connections that say nothing, or say it slowly, don't keep others out: each has some seconds for a whole request."""

from __future__ import annotations

import asyncio
import socket
from collections import Counter
from typing import Any

import h11
from uvicorn.protocols.http.h11_impl import H11Protocol

PATIENCE = 10.0
"""Seconds to a whole request, body and all."""
MOST_OF_AN_ADDRESS = 12
"""Connections: a phone's browser opens six at the most."""
MOST = 600
BEGUN = (h11.IDLE, h11.SEND_BODY)
"""What the other side is at while its request is not whole."""

_open: Counter[str] = Counter()


class PatientOnly(H11Protocol):
    """HTTP, for who says what they want in time."""

    _address = ""
    _impatient: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Take a connection, unless its address has enough of them."""
        super().connection_made(transport)
        line = transport.get_extra_info("socket")
        if line is not None:  # head and body are two writes: the second would wait 40 ms for the phone's receipt
            line.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        address = str((transport.get_extra_info("peername") or ("",))[0])
        if _open[address] >= MOST_OF_AN_ADDRESS or _open.total() >= MOST:
            transport.abort()
            return
        self._address = address
        _open[address] += 1
        self._wait()

    def data_received(self, data: bytes) -> None:
        """Go on waiting only while the request is not whole."""
        super().data_received(data)
        if self.conn.their_state not in BEGUN:
            self._stop_waiting()
        elif self._impatient is None:
            self._wait()

    def connection_lost(self, exc: Exception | None) -> None:
        """Give the place back."""
        self._stop_waiting()
        if self._address:
            _open[self._address] -= 1
            if not _open[self._address]:
                del _open[self._address]
            self._address = ""
        super().connection_lost(exc)

    def _wait(self) -> None:
        self._impatient = self.loop.call_later(PATIENCE, self._give_up)

    def _stop_waiting(self) -> None:
        if self._impatient is not None:
            self._impatient.cancel()
            self._impatient = None

    def _give_up(self, *_: Any) -> None:
        self._impatient = None
        self.transport.abort()
