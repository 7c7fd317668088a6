"""No kind of page keeps anybody out: axe-core 4.14 finds nothing, targets are large, and nothing scrolls sideways."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from phones.at_the_door import Served, begin, form, to_question
from phones.hands import barriers, browser, found, phone
from playwright.sync_api import Browser

from diagnose.phones.shown import BESIDE

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with browser() as one:
        yield one


def kinds(served: Served, cookie: str) -> list[str]:
    """Return an address of each kind of page."""
    hand = served.phone(come_in=False)
    hand.cookies.set("visitor", cookie)
    history, at, ended, turned = (
        begin(hand, name) for name in ("bogs-off-the-line", "revs-hang", "revs-hang", "revs-hang")
    )
    to_question(hand, at)
    hidden, _ = form(to_question(hand, ended), "step")
    hand.post(ended, data={"n": hidden["n"], "key": hidden["key"], "do": "end", "say": "end"})
    beside = [f"{at}?at={name}" for name in BESIDE]
    return [
        "/",
        "/?all",
        "/?words=bogs",
        history,
        at,
        f"{at}?part=9",
        *beside,
        ended,
        f"{ended}/list",
        f"{at}#now",
        "/now",
        "/engine",
        "/cars/0",
        "/no-such-page",
        turned,
    ]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("wide", [390, 320])
def test_no_kind_of_page_has_a_barrier(chromium: Browser, served: Served, scheme: Any, wide: int) -> None:
    page = phone(chromium, served, script=True, wide=wide, scheme=scheme)
    cookie = next(one["value"] for one in page.context.cookies() if one["name"] == "visitor")
    for manner in ("led", "whole"):
        page.context.add_cookies([{"name": "manner", "value": manner, "url": served.url}])
        for path in kinds(served, cookie) if manner == "led" else ["/", begin_with(served, cookie)]:
            page.goto(served.url + path)
            assert barriers(page) == [], path
    stranger = phone(chromium, served, script=True, wide=wide, scheme=scheme)
    stranger.context.clear_cookies()
    stranger.goto(served.url)
    assert barriers(stranger) == []


def begin_with(served: Served, cookie: str) -> str:
    hand = served.phone(come_in=False)
    hand.cookies.set("visitor", cookie)
    at = begin(hand, "revs-hang")
    to_question(hand, at)
    return at


def test_a_page_that_was_made_bad_is_found_out(chromium: Browser, served: Served) -> None:
    page = phone(chromium, served, script=True)
    bad = '<img src="x"><input><p style="color:#999;background:#aaa">pale</p><a href="#"></a>'
    page.evaluate(
        """bad => { document.documentElement.removeAttribute("lang"); document.title = "";
      document.querySelector("main").innerHTML = bad; }""",
        bad,
    )
    assert len({name for name, _ in found(page)}) >= 4
