"""``diagnose serve``: walks on the phones that are on the same Wi-Fi."""

from __future__ import annotations

import os
import secrets
import sys
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

import click

from diagnose.commands import common
from diagnose.errors import DiagnoseError

if TYPE_CHECKING:
    from diagnose.graph.model import Knowledge
    from diagnose.pages.parts import Page
    from diagnose.phones.classroom import Classroom
    from diagnose.phones.here import Doorway

PASSWORD = "DIAGNOSE_WIFI_PASSWORD"
PACKAGES = ("starlette", "uvicorn", "itsdangerous", "segno", "sse_starlette", "ifaddr")


@click.command()
@click.option("--address", metavar="ADDRESS", help="This computer's address on the Wi-Fi; else it is found.")
@click.option("--port", metavar="PORT", type=click.IntRange(1, 65535), help="Else the first free one from 8000 on.")
@click.option("--wifi", metavar="NAME", help="Show a code that joins this Wi-Fi; its password is asked for.")
@click.option(
    "--car", "cars", metavar="NAME", multiple=True, shell_complete=common.engine_names, help="Put up a car; repeatable."
)
@click.option("--class", "class_", metavar="LEVEL|FILE", help="Begin a class: draw its engine to level 1, 2 or 3.")
@click.option("--mentor-link", is_flag=True, help="Print a link to the mentor's page, for another device.")
@click.option("--sheet", metavar="FILE.html", type=click.Path(path_type=Path), help="Write both codes to print.")
def serve(
    address: str | None,
    port: int | None,
    wifi: str | None,
    cars: tuple[str, ...],
    class_: str | None,
    mentor_link: bool,
    sheet: Path | None,
) -> None:
    """Let phones on the same Wi-Fi walk, without the internet.

    \b
    Examples:
      diagnose serve
      diagnose serve --wifi pits --sheet codes.html
      diagnose serve --class 2 --mentor-link
      diagnose serve --address 192.168.4.1 --car "blue truggy"
    """
    needs_its_packages()
    from diagnose.folders import home
    from diagnose.phones import places
    from diagnose.phones.app import made, shared
    from diagnose.phones.door import Door, key
    from diagnose.phones.here import Doorway, here
    from diagnose.phones.mentor import MentorKey, mentor
    from diagnose.phones.serve import run
    from diagnose.phones.walks import Walks

    known, where = common.knowledge(), places.chosen(address)
    put_up = _put_up(cars, known)
    password = _password(wifi) if wifi else ""
    sockets = places.listening(where, port)
    place = Doorway(where, sockets[0].getsockname()[1], wifi or "", password)
    try:
        signed = key(home() / "serve.key")
    except OSError as error:
        raise DiagnoseError(f"{home() / 'serve.key'} can't be used: {error.strerror}") from error
    with ExitStack() as closing:
        for one in sockets:
            closing.enter_context(one)
        journal = closing.enter_context(common.journal(phones=True))
        door, keeper = Door(signed), MentorKey(signed)
        behind = shared(door, Walks(known, journal), put_up)
        if class_ is not None:
            _begin_class(behind.room, class_)
        if sheet is not None:
            _write(place, door.code, known, sheet)
        _tell(place, door.code)
        _tell_mentor(behind.room, place, keeper.link if mentor_link else "")
        own = [*here(place, door), *mentor(door, behind.room, behind.watchers, keeper)]
        run(made(behind, list(dict.fromkeys((where, places.LOOPBACK, "localhost"))), own), sockets)


def needs_its_packages() -> None:
    """Raise `DiagnoseError` that says what to install where the packages of phones are not there."""
    from importlib.util import find_spec

    if any(find_spec(name) is None for name in PACKAGES):
        from diagnose.pages.phone import WITHOUT

        raise DiagnoseError(WITHOUT)


def _begin_class(room: Classroom, said: str) -> None:
    """Begin a class at an engine that is drawn to a level, or written down in a file."""
    room.refuse_second()
    if said.isdecimal():
        from diagnose.practice.class_set import to_level

        room.begin(to_level(room.knowledge, int(said), secrets.token_hex(4)))
    else:
        from diagnose.commands.answers import text_of
        from diagnose.practice.class_file import read_class

        room.begin(read_class(said, text_of(Path(said)), room.knowledge))


def _tell_mentor(room: Classroom, place: Doorway, link: str) -> None:
    """Print where the mentor's page is, and whether a class goes on."""
    from diagnose.pages import phone_class
    from diagnose.pages.dates import clock

    if room.of is not None and room.open:
        common.say(phone_class.goes_on(clock(room.of.at)))
        common.say(phone_class.where_mentor(f"http://localhost:{place.port}/mentor"))
    if link:
        common.say(phone_class.mentor_link(f"http://{place.address}:{place.port}/mentor/{link}"))


def _put_up(names: tuple[str, ...], known: Knowledge) -> dict[str, Page]:
    """Return the pages of the cars that are put up, as they are now: phones never see the journal itself."""
    if not names:
        return {}
    from diagnose.commands.needles import RECORD
    from diagnose.pages.car import car_page
    from diagnose.workshop import car
    from diagnose.workshop.session import Session

    with common.journal() as journal:
        session = Session(known, journal)
        return {name: car_page(car.car(session, name), known, RECORD) for name in names}


def _password(wifi: str) -> str:
    """Ask for the password of the Wi-Fi: typed on the command line, others could see it."""
    if (said := os.environ.get(PASSWORD)) is not None:
        return said
    if not sys.stdin.isatty():
        return ""
    return str(click.prompt(f"Password of {wifi} (Enter for none)", default="", hide_input=True, show_default=False))


def _write(place: Doorway, code: str, known: Knowledge, to: Path) -> None:
    from diagnose.paper.sheet import write
    from diagnose.phones.here import sheet

    write(sheet(place, code, known), to)
    common.say(str(to))


def _tell(place: Doorway, code: str) -> None:
    """Print the codes, and what is typed where no camera reads them."""
    from diagnose.graph.wording import capital
    from diagnose.pages import phone
    from diagnose.phones.door import spaced
    from diagnose.phones.places import link, on_a_terminal, qr, wifi

    if sys.stdout.isatty():  # a code is for a camera: a log wants none
        if place.wifi:
            _drawn(phone.SHEET_WIFI, on_a_terminal(wifi(place.wifi, place.password)))
        _drawn(
            phone.SHEET_JOIN if place.wifi else phone.SHEET_OPEN,
            on_a_terminal(qr(link(place.address, place.port, code))),
        )
    common.say(phone.typed_address(f"http://{place.address}:{place.port}", spaced(code)))
    common.say(f"{capital(phone.STAY_ON)}.")
    common.say(phone.PLAIN_HTTP)
    common.say(f"http://localhost:{place.port}/here shows both codes on this computer alone. Press Ctrl+C to stop.")


def _drawn(heading: str, lines: list[str]) -> None:
    common.say(heading)
    for line in lines:
        click.echo(line)
