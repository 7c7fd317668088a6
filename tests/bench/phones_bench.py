"""Pages for phones, side by side with a bare form page of the same libraries and the same size."""

from __future__ import annotations

import re
import socket
import statistics
import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path

import httpx
from phones.at_the_door import begin, form, to_question
from phones.hands import CHROMIUM, browser

from diagnose.phones.guard import FORM

BARE = """
import sys
from starlette.applications import Starlette
from starlette.responses import HTMLResponse, RedirectResponse
from starlette.routing import Route
from diagnose.phones.places import listening
from diagnose.phones.serve import run
PAGE = "<!DOCTYPE html><form method=post><button name=say value=1>go</button></form>" + "x" * {size}
async def shown(request): return HTMLResponse(PAGE)
async def sent(request):
    await request.body()
    return RedirectResponse("/", 303)
run(Starlette(routes=[Route("/", shown), Route("/", sent, methods=["POST"])]), listening("127.0.0.1", {port}))
"""
VISITORS, LOOKS = 30, 15
OURS, THEIRS = 8471, 8472


@contextmanager
def running(command: list[str], env: dict[str, str]) -> Iterator[subprocess.Popen[str]]:
    started = subprocess.Popen(command, env=env, stdout=subprocess.PIPE, text=True)
    try:
        yield started
    finally:
        started.terminate()
        started.wait(10)


def up(port: int) -> float:
    """Wait for a first page, and return when it came."""
    while True:
        try:
            httpx.get(f"http://127.0.0.1:{port}/now")
            return time.perf_counter()
        except httpx.TransportError:
            time.sleep(0.005)


def phone(port: int, number: int, code: str = "") -> httpx.Client:
    url = f"http://127.0.0.1:{port}"
    transport = httpx.HTTPTransport(local_address=f"127.0.5.{number + 1}")
    made = httpx.Client(base_url=url, headers={"origin": url}, transport=transport, timeout=30)
    if code:
        made.get(f"/j/{code}")
    return made


def tap(client: httpx.Client, at: str, data: dict[str, str]) -> float:
    before = time.perf_counter()
    answer = client.post(at, data=data)
    assert answer.status_code == 303, answer.text
    client.get(answer.headers["location"])
    return time.perf_counter() - before


def walked(client: httpx.Client) -> list[float]:
    """Walk some looks at a human's pace, and return how long each tap took."""
    at, taken = begin(client), []
    for _ in range(LOOKS):
        page = to_question(client, at)
        if "/list" in page:
            at = begin(client)
            continue
        hidden, answers = form(page, "step")
        taken.append(tap(client, at, {**hidden, "say": answers[0]}))
        time.sleep(1)
    return taken


def tapped(code: str) -> dict[str, float]:
    """Return how long a tap takes in a browser until the next question is loaded, and the same on a bare page."""
    taken: dict[int, list[float]] = {OURS: [], THEIRS: []}
    with browser() as opened:
        pages = {port: opened.new_context(viewport={"width": 390, "height": 844}).new_page() for port in taken}
        pages[OURS].goto(f"http://127.0.0.1:{OURS}/j/{code}")
        pages[OURS].get_by_role("button", name="I don't know").click()
        pages[THEIRS].goto(f"http://127.0.0.1:{THEIRS}/")
        for number in range(45):
            for port, page in pages.items():
                answer = page.locator('input[value="step"] ~ button' if port == OURS else "button").first
                if port == OURS and not answer.count():
                    with page.expect_navigation():
                        page.locator("main form:not(.typed) button, main .read ~ div a.button").first.click()
                    continue
                before = time.perf_counter()
                with page.expect_navigation():
                    answer.click()
                if number > 2:
                    taken[port].append(time.perf_counter() - before)
    ours, bare = (statistics.median(one) for one in taken.values())
    return {"phone: tap to next question, loaded / bare form page": ours / bare, "phone: the same, ms": ours * 1000}


def opens_a_page(port: int) -> float:
    """Return the median milliseconds of a page."""
    taken = []
    with phone(port, 201) as client:
        for _ in range(30):
            before = time.perf_counter()
            assert client.get("/now").status_code == 200
            taken.append(time.perf_counter() - before)
    return statistics.median(taken) * 1000


def crowd(port: int) -> list[socket.socket]:
    """Open 230 connections that say nothing and 40 that say it slowly, 11 for an address."""
    lines = []
    slow = f"POST /join HTTP/1.1\r\nHost: 127.0.0.1\r\nOrigin: http://127.0.0.1\r\nContent-Type: {FORM}\r\n"
    for number in range(270):
        lines.append(socket.create_connection(("127.0.0.1", port), source_address=(f"127.0.6.{number // 11 + 1}", 0)))
        if number >= 230:
            lines[-1].sendall(f"{slow}Content-Length: 100\r\n\r\nc".encode())
    return lines


def guessed(port: int) -> None:
    """Try a thousand wrong codes."""
    with phone(port, 202) as client:
        for _ in range(1000):
            assert client.get("/j/AAAAAAAA").status_code in (403, 429)


def measured(env: dict[str, str]) -> dict[str, float]:
    """Return the figures of the pages for phones."""
    python = [sys.executable, "-c"]
    serve = [sys.executable, "-m", "diagnose", "serve", "--address", "127.0.0.1", "--port", str(OURS)]
    with running(serve, env) as first:
        up(OURS)  # the cache is warm from here on
        first.terminate()
    before = time.perf_counter()
    with running(serve, env) as ours, running([*python, BARE.format(size=9500, port=THEIRS)], env):
        first_page = up(OURS) - before
        up(THEIRS)
        assert ours.stdout is not None
        code = re.sub("-", "", re.search(r"the code ([A-Z0-9-]+)", ours.stdout.readline())[1])  # type: ignore[index]
        hand, bare = phone(OURS, 200, code), phone(THEIRS, 200)
        at, taken, plain = begin(hand, "will-not-start"), [], []
        for _ in range(25):
            page = to_question(hand, at)
            if "/list" in page:
                at = begin(hand, "bogs-off-the-line")
                continue
            hidden, answers = form(page, "step")
            taken.append(tap(hand, at, {**hidden, "say": answers[0]}))
            plain.append(tap(bare, "/", {**hidden, "say": answers[0]}))
        in_browser = tapped(code) if CHROMIUM.exists() else {}
        with ThreadPoolExecutor(VISITORS) as pool:
            phones = list(pool.map(lambda number: phone(OURS, number, code), range(VISITORS)))
            all_taken = sorted(one for each in pool.map(walked, phones) for one in each)
        alone = opens_a_page(OURS)
        lines = crowd(OURS)
        beside_a_crowd = opens_a_page(OURS)
        for line in lines:
            line.close()
        guessed(OURS)
        after_guesses = opens_a_page(OURS)
        status = Path(f"/proc/{ours.pid}/status").read_text("utf-8")
        resident = int(re.search(r"VmRSS:\s+(\d+)", status)[1]) / 1024  # type: ignore[index]
    return {
        **in_browser,
        "phone: the server's share of a tap, ms": statistics.median(taken) * 1000,
        "phone: a bare form page's, ms": statistics.median(plain) * 1000,
        "phone: command to first page, s": first_page,
        "phone: a page, ms": alone,
        "phone: a page beside 230 silent and 40 slow connections, ms": beside_a_crowd,
        "phone: a page after 1,000 wrong codes, ms": after_guesses,
        "phone: 30 visitors, MB": resident,
        "phone: 30 visitors, p95 of a tap, ms": all_taken[int(len(all_taken) * 0.95)] * 1000,
    }
