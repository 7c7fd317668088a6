"""A mate's phone in a real browser: by touch, with JavaScript off and on, and nothing in the way on any page."""

from __future__ import annotations

import time
from collections.abc import Iterator
from typing import Any, NamedTuple

import pytest
from phones.at_the_door import KEY, WIDE, running
from phones.hands import AXE, barriers, browser, opened, tap
from playwright.sync_api import Browser, Page
from shipped import load

from diagnose.pages import mate as said
from diagnose.phones.door import Door
from diagnose.phones.entrance import starlette
from diagnose.phones.mate import MatePages
from diagnose.reason import events as ev
from diagnose.record.journal import Journal
from diagnose.workshop.mate import DriversBench, MateSaid
from diagnose.workshop.session import Session

pytestmark = pytest.mark.slow
SOUND = 'button[value="sound"]'


class AtTheCar(NamedTuple):
    """The driver's walk, begun one thing at a time, and where his mate comes in."""

    driver: Session
    told: list[MateSaid]
    url: str
    code: str

    def phone(self, chromium: Browser, **more: Any) -> Page:
        return opened(chromium, f"{self.url}/j/{self.code}", **more)

    @property
    def ticked(self) -> list[str]:
        self.driver.catch_up()
        assert self.driver.walk is not None
        return [one.check for one in self.driver.walk.events if isinstance(one, ev.Answered)]


@pytest.fixture
def car() -> Iterator[AtTheCar]:
    driver = Session(load(), Journal.in_memory(), time.time)
    driver.start("revs-hang", led=True)
    door, told = Door(KEY, WIDE), list[MateSaid]()
    pages = MatePages(DriversBench(driver, told.append, lambda: True), door)
    with running(starlette(pages.routes(), ["127.0.0.1"], pages.emergency)) as port:
        yield AtTheCar(driver, told, f"http://127.0.0.1:{port}", door.code)


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with browser() as one:
        yield one


def warned(page: Page) -> None:
    """Read what there is to beware of."""
    while page.locator('input[name="do"][value="read"]').count():
        tap(page, page.locator("main form button").first)


def answer(car: AtTheCar) -> None:
    """Let the driver answer the line at hand."""
    car.driver.catch_up()
    walk, step = car.driver.walk, car.driver.step()
    assert walk is not None
    assert step is not None
    car.driver.record(ev.Answered(time.time(), step.id, walk.scope.checks[step.id].healthy))


@pytest.mark.parametrize("wide", [390, 320])
def test_a_mate_ticks_and_tells_by_touch_without_javascript(chromium: Browser, car: AtTheCar, wide: int) -> None:
    page = car.phone(chromium, wide=wide)
    warned(page)
    first = page.locator("h1").inner_text()
    tap(page, page.get_by_role("link", name="How to look"))
    assert page.locator("h1").inner_text() != first
    tap(page, page.get_by_role("link", name="Back to the list"))
    tap(page, page.locator(SOUND))
    assert len(car.ticked) == 1
    warned(page)
    tap(page, page.get_by_role("button", name="Not so, or not sure"))
    assert page.locator("h1").inner_text() == said.TOLD
    assert [one.so for one in car.told] == [True, False]
    assert len(car.ticked) == 1
    tap(page, page.get_by_role("link", name="Look again"))
    assert page.locator("h1").inner_text() == said.TOLD
    answer(car)
    page.locator(SOUND).wait_for()  # it looked again by itself


def test_a_page_that_can_be_ticked_does_not_load_itself_again(chromium: Browser, car: AtTheCar) -> None:
    page = car.phone(chromium)
    warned(page)
    assert page.locator("noscript, meta[http-equiv]").count() == 0


def test_with_the_network_gone_the_emergency_page_opens_all_the_same(chromium: Browser, car: AtTheCar) -> None:
    page = car.phone(chromium)
    page.context.set_offline(True)
    page.locator(".bar a").tap()
    assert page.locator("#now h2").is_visible()
    assert page.locator("#now details[open] li").first.is_visible()
    page.get_by_role("link", name="Close this").tap()
    assert not page.locator("#now h2").is_visible()


def test_two_mates_at_one_line_count_once_and_the_slower_one_is_told(chromium: Browser, car: AtTheCar) -> None:
    quick, slow = car.phone(chromium), car.phone(chromium, script=True)
    for page in (quick, slow):
        warned(page)
    with slow.expect_response("**/live"):
        slow.reload()
    tap(quick, quick.locator(SOUND))
    slow.locator("#other").wait_for(state="visible")
    assert slow.locator("#other").inner_text().startswith(said.DRIVER_ANSWERED.strip())
    tap(slow, slow.get_by_role("button", name="Not so, or not sure"))
    assert slow.get_by_role("alert").count()
    assert len(car.ticked) == 1
    assert [one.so for one in car.told] == [True]


@pytest.mark.skipif(not AXE.exists(), reason="axe-core is not there: .ci/axe fetches it")
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("wide", [390, 320])
def test_no_page_of_a_mate_has_a_barrier(chromium: Browser, car: AtTheCar, scheme: Any, wide: int) -> None:
    stranger = opened(chromium, car.url, script=True, wide=wide, scheme=scheme)
    for path in ("/", "/j/AAAAAAAA", "/now", "/no-such-page"):
        stranger.goto(car.url + path)
        assert barriers(stranger) == [], path
    page = car.phone(chromium, script=True, wide=wide, scheme=scheme)
    assert page.locator('input[value="read"]').count()
    assert barriers(page) == []
    warned(page)
    for path in ("/", "/?at=how", "/#now"):
        page.goto(car.url + path)
        assert barriers(page) == [], path
    page.goto(car.url)
    late = page.context.new_page()
    late.goto(car.url)
    tap(page, page.get_by_role("button", name="Not so, or not sure"))
    assert page.locator("h1").inner_text() == said.TOLD
    assert barriers(page) == []
    tap(late, late.locator(SOUND))
    assert late.get_by_role("alert").count()  # it is the driver's by now
    assert barriers(late) == []
