"""Where phones can reach this computer: its own addresses, a free port, and the codes that lead there."""

from __future__ import annotations

import errno
import io
import socket
from ipaddress import IPv4Address, ip_address
from typing import TYPE_CHECKING

from diagnose.errors import DiagnoseError

if TYPE_CHECKING:
    from segno import QRCode

PORT = 8000
TRIED = 10
"""Ports that are tried, from `PORT` on, where none was said."""
LOOPBACK = "127.0.0.1"
NO_NETWORK = (
    "this computer is on no network: join the club's Wi-Fi, or open a hotspot, then start again; "
    "or say its address with --address"
)


def addresses() -> list[str]:
    """Return this computer's own IPv4 addresses but the loopback; those of a home or a field come first."""
    import ifaddr

    found = {IPv4Address(ip.ip) for adapter in ifaddr.get_adapters() for ip in adapter.ips if ip.is_IPv4}
    usable = [one for one in found if not (one.is_loopback or one.is_unspecified or one.is_multicast)]
    return [str(one) for one in sorted(usable, key=lambda one: (one.is_link_local, not one.is_private, one))]


def chosen(said: str | None) -> str:
    """Return the address that phones are told; raises `DiagnoseError` where there is none, or it is not one of ours."""
    if said is None:
        found = addresses()
        if not found:
            raise DiagnoseError(NO_NETWORK)
        return found[0]
    try:
        return str(ip_address(said))
    except ValueError as error:
        raise DiagnoseError(f"--address {said}: this is no address; one looks like 192.168.1.20") from error


def listening(address: str, port: int | None, *, here: bool = True) -> list[socket.socket]:
    """Return sockets on an address, and on the loopback too (`here`), on one port: the one said, or the first free one.

    Raises `DiagnoseError`.
    """
    ports = (port,) if port is not None else range(PORT, PORT + TRIED)
    for one in ports:
        opened: list[socket.socket] = []
        try:
            for host in dict.fromkeys((address, LOOPBACK) if here else (address,)):
                opened += [socket.create_server((host, one), backlog=128)]
            return opened
        except OSError as error:
            for found in opened:
                found.close()
            if error.errno == errno.EADDRNOTAVAIL:
                mine = ", ".join(addresses()) or "none"
                raise DiagnoseError(
                    f"--address {address}: this computer has no such address; it has: {mine}"
                ) from error
            if error.errno == errno.EACCES:
                raise DiagnoseError(f"--port {one}: not allowed here; take one from 1024 on") from error
            if error.errno != errno.EADDRINUSE:
                raise DiagnoseError(f"{address}:{one} can't be opened: {error.strerror}") from error
    if port is not None:
        raise DiagnoseError(f"--port {port}: another program uses it; leave it out, and a free one is taken")
    raise DiagnoseError(f"the ports {PORT} to {PORT + TRIED - 1} are all in use: say a free one with --port")


def link(address: str, port: int, code: str) -> str:
    """Return the link that the code on the sheet holds."""
    return f"http://{address}:{port}/j/{code}"


def qr(text: str) -> QRCode:
    """Return a text as a code for cameras."""
    import segno

    return segno.make(text, error="l", micro=False)


def wifi(name: str, password: str) -> QRCode:
    """Return a code that joins a Wi-Fi."""
    from segno import helpers

    return helpers.make_wifi(ssid=name, password=password or None, security="WPA" if password else None)


def in_blocks(code: QRCode) -> tuple[str, ...]:
    """Return a code in rows of half blocks: a block is light, a space is dark, whatever colours the terminal has."""
    out = io.StringIO()
    code.terminal(out=out, compact=True, border=2)
    return tuple(line for line in out.getvalue().splitlines() if line)


def on_a_terminal(code: QRCode) -> list[str]:
    """Return a code as lines for a terminal, dark or light: each line sets its own colours."""
    return [f"\x1b[97;40m{line}\x1b[0m" for line in in_blocks(code)]
