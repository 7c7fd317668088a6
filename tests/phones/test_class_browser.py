"""A class of six in a real browser: the learners by touch, with JavaScript off; the mentor with it, and without."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from phones.classes import Taught, teaching
from phones.hands import AXE, barriers, browser, opened, phone, tap
from playwright.sync_api import Browser, Page

from diagnose.pages import phone_class as said
from diagnose.phones import patient

pytestmark = pytest.mark.slow
NAMES = ("kim", "ana", "ben", "kim", "zoe", "lou")


@pytest.fixture
def taught(monkeypatch: pytest.MonkeyPatch) -> Iterator[Taught]:
    monkeypatch.setattr(patient, "MOST_OF_AN_ADDRESS", 200)  # here all browsers have one address
    with teaching() as one:
        yield one


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with browser() as one:
        yield one


def seated(chromium: Browser, taught: Taught, name: str, *, script: bool = False) -> Page:
    page = phone(chromium, taught, script=script)
    tap(page, page.get_by_role("link", name="Sit down in the class"))
    page.get_by_label("A nickname").fill(name)
    tap(page, page.get_by_role("button", name="Sit down"))
    return page


def looks(page: Page) -> None:
    """Look at the first thing of the first area: what is expected, and what it tells."""
    tap(page, page.get_by_role("link", name="Look at something"))
    tap(page, page.locator(".read ~ div a.button").first)
    tap(page, page.locator(".read ~ div a.button").first)
    tap(page, page.locator("main form button").first)
    assert page.locator("h1").inner_text() == "What does that tell you?"
    tap(page, page.get_by_role("button", name="Nothing yet"))


def mentor(chromium: Browser, taught: Taught, **kind: Any) -> Page:
    return opened(chromium, f"{taught.url}/mentor", **kind)


def section(page: Page, name: str) -> Any:
    return page.locator("section.seat", has=page.get_by_role("heading", name=name, exact=True))


def test_a_class_of_six_by_touch_with_the_mentor_beside_it(chromium: Browser, taught: Taught) -> None:
    live, plain = (mentor(chromium, taught, script=script) for script in (True, False))
    pages = [seated(chromium, taught, name) for name in NAMES]
    assert pages[3].get_by_text("kim 2").count()
    for page in pages:
        looks(page)
    for page in (live, plain):  # one by its stream, the other as it loads itself again
        for name in ("kim", "ana", "ben", "kim 2", "zoe", "lou"):
            section(page, name).get_by_text("step 1, ").wait_for()
    tap(live, live.get_by_role("button", name="Stop everybody for a moment"))
    pages[0].reload()
    assert pages[0].locator("h1").inner_text() == said.WAIT
    assert pages[0].locator("main form").count() == 0
    tap(live, live.get_by_role("button", name="Go on"))
    pages[0].get_by_role("link", name="Look at something").wait_for()  # it went on by itself
    tap(live, live.get_by_role("button", name="A hint for ana"))
    section(plain, "ana").get_by_text("a hint waits to be read").wait_for()
    pages[1].reload()
    assert pages[1].get_by_role("heading", name="The mentor says").count()
    tap(pages[1], pages[1].get_by_role("button", name="I have read it"))
    tap(pages[2], pages[2].get_by_role("link", name="A hint"))
    tap(pages[2], pages[2].get_by_role("link", name="I have no idea yet"))
    tap(pages[2], pages[2].get_by_role("button", name="Which area"))
    tap(pages[4], pages[4].get_by_role("link", name="Turn a screw"))
    tap(pages[4], pages[4].locator(".read ~ div a.button").first)
    tap(pages[4], pages[4].locator("main form button").first)
    section(live, "zoe").get_by_text("step 2, ").wait_for()
    tap(pages[5], pages[5].get_by_role("link", name="Give up"))
    tap(pages[5], pages[5].get_by_role("button", name="Stop here"))
    tap(live, live.get_by_role("link", name="End the class"))
    tap(live, live.get_by_role("button", name="End it, and open the debriefs"))
    for page in pages:
        page.goto(f"{taught.url}/class")
        tap(page, page.locator(".read ~ div a.button").first)
        tap(page, page.locator("main form button").first)
        tap(page, page.get_by_role("link", name="How I looked for it"))
        tap(page, page.get_by_role("link", name="Go on"))
        page.get_by_label("One rule for the next engine").fill("look before you turn")
        tap(page, page.get_by_role("button", name="Send"))
        tap(page, page.locator("main form button").first)
        tap(page, page.get_by_role("link", name="Go on"))
        assert page.get_by_text("of 100").count()
        tap(page, page.get_by_role("link", name="Back to the class"))
        tap(page, page.get_by_role("link", name="The sheet of the whole class"))
        assert page.get_by_text("of 100").count() == 0
        assert page.get_by_text("kim 2").count()
    live.goto(f"{taught.url}/mentor")
    tap(live, live.get_by_role("link", name="The sheet of the last class"))
    assert live.get_by_text("look before you turn").count() == len(NAMES)


def test_a_phone_with_javascript_follows_the_mentor_by_itself(chromium: Browser, taught: Taught) -> None:
    live = mentor(chromium, taught, script=True)
    page = seated(chromium, taught, "kim", script=True)
    section(live, "kim").get_by_text("not begun").wait_for()
    tap(live, live.get_by_role("button", name="Stop everybody for a moment"))
    page.get_by_role("heading", name=said.WAIT).wait_for()
    tap(live, live.get_by_role("button", name="Go on"))
    page.get_by_role("link", name="Look at something").wait_for()
    live.get_by_role("button", name="A hint for kim").focus()
    looks(page)
    section(live, "kim").get_by_text("step 1, ").wait_for()
    assert live.evaluate("document.activeElement.id") == "hint-1"  # the rows are new, and it still has the keys


@pytest.mark.skipif(not AXE.exists(), reason="axe-core is not there: .ci/axe fetches it")
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("wide", [390, 320])
def test_no_page_of_a_class_has_a_barrier(chromium: Browser, taught: Taught, scheme: Any, wide: int) -> None:
    page = phone(chromium, taught, script=True, wide=wide, scheme=scheme)

    def look_through(*paths: str, on: Page = page) -> None:
        for path in paths:
            on.goto(taught.url + path)
            assert barriers(on) == [], path

    look_through("/", "/class")
    page.get_by_label("A nickname").fill("kim")
    tap(page, page.get_by_role("button", name="Sit down"))
    beside = ("look", "look/0", "mend", "mend/0", "turn", "turn/0", "hint", "hint/0", "stop", "done", "story")
    practice = taught.room.seats[1].practice
    fault = next(name for name, one in practice.scope.faults.items() if not one.turned)
    look_through("/class", *(f"/class?at={one}" for one in (*beside, f"check/{next(iter(practice.scope.checks))}")))
    look_through(f"/class?at=part/{fault}")
    page.goto(f"{taught.url}/class?at=look/0")
    tap(page, page.locator(".read ~ div a.button").first)
    tap(page, page.locator("main form button").first)
    look_through("/class")
    tap(page, page.get_by_role("button", name="Nothing yet"))
    taught.room.hint(1)
    look_through("/class", "/class?at=done")
    watched = mentor(chromium, taught, script=True, wide=wide, scheme=scheme)
    look_through("/mentor", "/mentor?at=end", "/here", on=watched)
    taught.room.wait()
    look_through("/class")
    look_through("/mentor", on=watched)
    taught.room.end()
    look_through("/class", "/class?at=best/1")
    tap(page, page.locator("main form button").first)
    look_through("/class", "/class/debrief", "/class?at=rule", "/class?at=case", "/class/marks", "/class/sheet")
    page.goto(f"{taught.url}/class?at=case")
    tap(page, page.locator("main form button").first)
    look_through("/class?at=case")
    look_through("/mentor", "/mentor/sheet", "/mentor/debrief/1", on=watched)


@pytest.fixture
def untaught(monkeypatch: pytest.MonkeyPatch) -> Iterator[Taught]:
    monkeypatch.setattr(patient, "MOST_OF_AN_ADDRESS", 200)
    with teaching(begin=False) as one:
        yield one


@pytest.mark.parametrize("wide", [390, 320])
def test_a_mentor_hides_two_faults_by_touch_without_javascript(chromium: Browser, untaught: Taught, wide: int) -> None:
    page = mentor(chromium, untaught, script=False, wide=wide)
    tap(page, page.get_by_role("link", name="Choose what it does, and what is hidden"))
    tap(page, page.get_by_role("link", name="Revs hang"))
    page.get_by_label("For the mentor: which fault?").select_option("fuel-line-split")
    page.get_by_label("A second fault?").select_option("fuel-line-split")
    page.get_by_label("Fairly").tap()
    page.get_by_label("High needle Stands right").select_option("2 hours too rich")
    page.get_by_label("What else does the owner say?").fill("it was fine last week")
    tap(page, page.get_by_role("button", name="Set the engine"))
    assert page.get_by_role("alert").get_by_text("choose another, or none").count()
    assert page.get_by_label("Fairly").is_checked()
    page.get_by_label("A second fault?").select_option("wrong-fuel")
    tap(page, page.get_by_role("button", name="Set the engine"))
    assert page.get_by_text("Nobody has sat down yet.").count()
    of = untaught.room.of
    assert of is not None
    assert [one.fault for one in of.begun.troubles] == ["fuel-line-split", "wrong-fuel"]
    assert (of.begun.owner, of.begun.turned) == ("it was fine last week", (("high needle", 2.0),))


@pytest.mark.skipif(not AXE.exists(), reason="axe-core is not there: .ci/axe fetches it")
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("wide", [390, 320])
def test_no_page_on_which_an_engine_is_set_has_a_barrier(
    chromium: Browser, untaught: Taught, scheme: Any, wide: int
) -> None:
    page = mentor(chromium, untaught, script=True, wide=wide, scheme=scheme)
    for path in ("/mentor", "/mentor/engine", "/mentor/engine?symptom=revs-hang"):
        page.goto(untaught.url + path)
        assert barriers(page) == [], path
    for asked in ("For the mentor: which fault?", "A second fault?"):
        page.get_by_label(asked).select_option("fuel-line-split")
    tap(page, page.get_by_role("button", name="Set the engine"))
    assert page.get_by_role("alert").count()
    assert barriers(page) == []
    away = phone(chromium, untaught, script=True, wide=wide, scheme=scheme)
    away.goto(f"{untaught.url}/mentor/no-such-link")
    assert barriers(away) == []
