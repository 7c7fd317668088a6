"""Walks in a real browser: by touch alone, with JavaScript off where nothing else is said."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from phones.at_the_door import Served
from phones.hands import browser, phone, tap
from playwright.sync_api import Browser, Page

from diagnose.pages.end import HEADINGS

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with browser() as one:
        yield one


FIRST = "main form:not(.typed) button, main .read ~ div a.button"
"""What can be tapped to go on."""


def to_question(page: Page) -> None:
    """Tap on until a question of a step stands there."""
    for _ in range(30):
        if page.locator('input[name="do"][value="step"]').count():
            return
        tap(page, page.locator(FIRST).first)
    raise AssertionError("no question came")


def test_a_walk_from_symptom_to_verdict_by_touch_alone(chromium: Browser, served: Served) -> None:
    page = phone(chromium, served)
    tap(page, page.get_by_role("button", name="Spins, but never fires"))
    taps = 0
    while not page.get_by_role("link", name="The list to show somebody").count():
        tap(page, page.locator(FIRST).first)
        taps += 1
        assert taps < 150
    assert page.locator("h1").inner_text() in HEADINGS.values()
    tap(page, page.get_by_role("link", name="The list to show somebody"))
    assert page.locator("h1").inner_text() == "The list to show somebody"


def test_reload_in_mid_answer_asks_the_same_and_counts_nothing_twice(chromium: Browser, served: Served) -> None:
    page = phone(chromium, served)
    tap(page, page.get_by_role("button", name="Will not turn over"))
    to_question(page)
    page.get_by_label("I am not quite sure").check()
    asked, count = page.locator("h1").inner_text(), page.locator('input[name="n"]').first.input_value()
    page.reload()
    assert page.locator("h1").inner_text() == asked
    tap(page, page.locator('input[value="step"] ~ button').first)
    page.go_back()
    page.reload()
    to_question(page)
    assert int(page.locator('input[name="n"]').first.input_value()) == int(count) + 1


def test_two_visitors_each_see_their_own_and_a_shared_walk_says_that_it_moved_on(
    chromium: Browser, served: Served
) -> None:
    first, second = phone(chromium, served), phone(chromium, served, script=True)
    tap(first, first.get_by_role("button", name="Will not turn over"))
    to_question(first)
    assert second.get_by_role("heading", name="Your walks").count() == 0
    second.goto(first.url)
    to_question(second)
    told = second.get_by_text("Another phone has answered.")
    assert not told.is_visible()
    before = second.locator("main button").first.bounding_box()
    tap(first, first.locator('input[value="step"] ~ button').first)
    told.wait_for(state="visible", timeout=5000)
    assert second.locator("main button").first.bounding_box() == before
    tap(second, second.locator('input[value="step"] ~ button').last)
    assert second.locator("h1, [role=alert]").count()
    assert "data-count" in second.content()


def test_the_emergency_page_opens_with_the_network_gone(chromium: Browser, served: Served) -> None:
    page = phone(chromium, served)
    tap(page, page.get_by_role("button", name="Will not turn over"))
    page.context.set_offline(True)
    runs_away = page.get_by_text("Get people away first.")
    assert not runs_away.is_visible()
    page.get_by_role("link", name="Something is wrong").tap()
    assert runs_away.is_visible()
    page.get_by_text("Fuel in the eyes").tap()
    assert page.get_by_text("Rinse at once with clean running water").is_visible()
    page.get_by_role("link", name="Close this").tap()
    assert not runs_away.is_visible()


def test_a_form_of_another_site_ends_outside(chromium: Browser, served: Served) -> None:
    page = phone(chromium, served)
    tap(page, page.get_by_role("button", name="Will not turn over"))
    action = f'<form method="post" action="{page.url}"><button name="say" value="x">go</button></form>'
    page.goto(f"data:text/html,{action}")
    tap(page, page.get_by_role("button", name="go"))
    assert page.locator("h1").inner_text() == "Scan the code again"


def test_nothing_comes_from_outside(chromium: Browser, served: Served) -> None:
    page = phone(chromium, served, script=True)
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(served.url)
    tap(page, page.get_by_role("button", name="Will not turn over"))
    to_question(page)
    assert len(asked) > 4
    assert all(url.startswith(served.url) for url in asked)
