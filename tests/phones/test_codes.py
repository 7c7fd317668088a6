"""Where phones come in: the codes are read by a camera, and what is in the way is said."""

from __future__ import annotations

import io
import os
import re
import socket
import subprocess
import sys
from pathlib import Path

import httpx
import pytest
import segno
from phones.at_the_door import KEY, WIDE, running
from shipped import load

from diagnose.commands.serve import PACKAGES, needs_its_packages
from diagnose.errors import DiagnoseError
from diagnose.phones import places
from diagnose.phones.app import made, shared
from diagnose.phones.door import Door, key
from diagnose.phones.here import Doorway, here, sheet
from diagnose.phones.walks import Walks
from diagnose.record.journal import Journal

LINK = "http://192.168.43.217:8000/j/ABCD2345"
HALVES = {"█": (True, True), "▀": (True, False), "▄": (False, True), " ": (False, False)}


def test_a_code_on_a_terminal_is_white_where_the_standard_has_it_white_whatever_the_terminal_s_colours() -> None:
    """The modules as segno's own matrix has them (ISO/IEC 18004), read back from what is printed."""
    lines = places.on_a_terminal(places.qr(LINK))
    rows: list[list[bool]] = []
    for line in lines:
        assert line.startswith("\x1b[97;40m")
        assert line.endswith("\x1b[0m")
        halves = [HALVES[sign] for sign in line.removeprefix("\x1b[97;40m").removesuffix("\x1b[0m")]
        rows += [[top for top, _ in halves], [bottom for _, bottom in halves]]
    code = segno.make(LINK, error="l", micro=False)
    wanted = [[not dark for dark in row] for row in code.matrix_iter(border=2)]
    assert rows[: len(wanted)] == wanted
    assert (len(lines), len(rows[0])) == (17, 33)


def test_a_wifi_code_says_what_phones_read() -> None:
    """The text of such codes as segno makes it, with its signs escaped."""
    code = places.wifi("pits;1", "a:b")
    again = segno.make("WIFI:T:WPA;S:pits\\;1;P:a\\:b;;", error=None, micro=False)
    assert places.wifi("pits", "").designator
    assert code.version == again.version


def test_no_network_at_all_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(places, "addresses", list)
    with pytest.raises(DiagnoseError, match=r"on no network.*--address"):
        places.chosen(None)
    assert places.chosen("192.168.4.1") == "192.168.4.1"
    with pytest.raises(DiagnoseError, match="no address"):
        places.chosen("over there")


def test_a_port_in_use_is_said_and_the_next_one_is_taken_where_none_was_asked_for() -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        with pytest.raises(DiagnoseError, match=f"--port {port}: another program uses it"):
            places.listening("127.0.0.1", port)
    first = places.listening("127.0.0.1", None)
    second = places.listening("127.0.0.1", None)
    ports = [one[0].getsockname()[1] for one in (first, second)]
    for one in (*first, *second):
        one.close()
    assert ports[0] < ports[1]


def test_an_address_of_another_computer_is_refused_with_our_own() -> None:
    with pytest.raises(DiagnoseError, match="no such address; it has"):
        places.listening("203.0.113.7", 8123)  # RFC 5737: of nobody


def test_the_key_is_made_once_and_is_its_owner_s_alone(tmp_path: Path) -> None:
    made_at = tmp_path / "folder" / "serve.key"
    first = key(made_at)
    assert key(made_at) == first
    assert len(first) == 64
    assert made_at.stat().st_mode & 0o777 == 0o600


def test_without_its_packages_one_line_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    needs_its_packages()
    monkeypatch.setattr("importlib.util.find_spec", lambda name: None if name == PACKAGES[0] else object())
    with pytest.raises(DiagnoseError, match=r'pip install "needles-last\[serve\]"'):
        needs_its_packages()


def test_the_page_of_codes_is_for_this_computer_alone_and_makes_a_new_one() -> None:
    door, place = Door(KEY, WIDE), Doorway("192.168.4.1", 8000, "pits", "secret")
    app = made(shared(door, Walks(load(), Journal.in_memory())), ["127.0.0.1"], here(place, door))
    with running(app) as port:
        url = f"http://127.0.0.1:{port}"
        away = httpx.HTTPTransport(local_address="127.0.0.9")
        with httpx.Client(transport=away) as other, httpx.Client(headers={"origin": url}) as own:
            assert other.get(f"{url}/here").status_code == 403
            page = own.get(f"{url}/here").text
            old = door.code
            token = re.search(r'name="key" value="([^"]*)"', page)
            assert token
            assert own.post(f"{url}/here", data={"key": "x"}).status_code == 403
            assert own.post(f"{url}/here", data={"key": token[1]}, headers={"origin": "null"}).status_code == 403
            assert other.post(f"{url}/here", data={"key": token[1]}).status_code == 403
            assert door.code == old
            assert own.post(f"{url}/here", data={"key": token[1]}).status_code == 303
            assert door.code != old


def test_the_sheet_holds_both_codes_and_what_to_do_in_an_emergency() -> None:
    text = sheet(Doorway("192.168.4.1", 8000, "pits <1>", "secret"), "ABCD2345", load())
    out = io.BytesIO()
    join = segno.make("http://192.168.4.1:8000/j/ABCD2345", error="l", micro=False)
    join.save(out, kind="svg", xmldecl=False, svgns=False, nl=False, omitsize=True, light="#fff", border=4)
    assert out.getvalue().decode() in text
    assert text.count("<svg") == 2
    assert "ABCD-2345" in text
    assert "pits &lt;1&gt;, password secret" in text
    assert "Get people away first." in text
    assert "<script" not in text


def test_the_command_serves_until_it_is_stopped(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "diagnose", "serve", "--address", "127.0.0.1", "--sheet", str(tmp_path / "s.html")]
    env = {**os.environ, "DIAGNOSE_HOME": str(tmp_path)}
    pipes = {"stdin": subprocess.DEVNULL, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    started = subprocess.Popen(command, text=True, env=env, **pipes)
    try:
        assert started.stdout is not None
        assert started.stdout.readline().strip().endswith("s.html")
        told = started.stdout.readline()
        assert "Without a camera: open http://127.0.0.1:80" in told
    finally:
        started.terminate()
        _, error = started.communicate(timeout=20)
    assert error == ""
    assert (tmp_path / "served.sqlite3").exists()
