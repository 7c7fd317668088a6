"""A real phone's browser, without its glass."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from phones.at_the_door import Served

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Locator, Page

CHROMIUM = Path("/usr/bin/chromium")
AXE = Path(os.environ.get("NEEDLES_AXE", ".venv/axe")) / "node_modules" / "axe-core" / "axe.min.js"
QUIET = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@contextmanager
def browser() -> Iterator[Browser]:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as started:
        launched = started.chromium.launch(executable_path=str(CHROMIUM), args=QUIET)
        yield launched
        launched.close()


def phone(browser: Browser, served: Served, **kind: Any) -> Page:
    """Return a page of a phone that has scanned the code."""
    return opened(browser, f"{served.url}/j/{served.behind.door.code}", **kind)


def opened(
    browser: Browser,
    link: str,
    *,
    script: bool = False,
    wide: int = 390,
    scheme: Literal["light", "dark"] = "light",
) -> Page:
    """Return what a phone of this kind shows behind a link."""
    context = browser.new_context(
        viewport={"width": wide, "height": 844},
        color_scheme=scheme,
        java_script_enabled=script,
        has_touch=True,
        is_mobile=True,
    )
    page = context.new_page()
    page.goto(link)
    return page


def tap(page: Page, what: Locator) -> None:
    """Tap on what leads to another page, and wait for it."""
    with page.expect_navigation():
        what.tap()


def found(page: Page) -> list[Any]:
    """Return what axe-core finds on a page."""
    page.evaluate(AXE.read_text("utf-8"))
    told = page.evaluate("() => axe.run()")
    assert told["passes"]
    return [(one["id"], one["nodes"][0]["html"]) for one in told["violations"]]


TAPPED = "a, button, select, input:not([type=hidden]):not([type=checkbox]):not([type=radio]), summary, label.tick"
SMALL = f"""() => [...document.querySelectorAll("{TAPPED}")]
  .filter(one => one.offsetParent && one.getBoundingClientRect().height < 44).map(one => one.outerHTML)"""
SIDEWAYS = "() => document.documentElement.scrollWidth > document.documentElement.clientWidth"


def barriers(page: Page) -> list[Any]:
    """Return what keeps somebody out of a page: what axe-core finds, what a thumb misses, and a scroll sideways."""
    return [*found(page), *page.evaluate(SMALL), *(["scrolls sideways"] if page.evaluate(SIDEWAYS) else [])]
