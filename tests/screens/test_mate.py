"""A mate's phone ticks what the driver's walk owes; the bench follows, and what is sent twice counts once."""

from __future__ import annotations

import asyncio
import time
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

import httpx
import pytest
from phones.at_the_door import form
from rich.color_triplet import ColorTriplet
from screens.hands import SIZES, WIDE, Hand, Make, app, begun, colours, page, press, seen, step, tap

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge
from diagnose.pages import mate
from diagnose.pages.phone import WITHOUT
from diagnose.phones.mate import invited_at
from diagnose.reason import events as ev
from diagnose.reason.view import Step
from diagnose.screens.app import NeedlesLast
from diagnose.screens.first_day import FirstDay
from diagnose.workshop.mate import DriversBench, Invited, MateSaid


def here(bench: DriversBench) -> Invited:
    return invited_at("127.0.0.1", bench)


def letting(made: NeedlesLast) -> NeedlesLast:
    made.at.invite = here
    return made


def stored(pilot: Hand) -> list[ev.Event]:
    session = app(pilot).session
    return [ev.from_json(body) for body in session.journal.read(f"outing/{session.outing}")]


def answers(pilot: Hand) -> list[str]:
    return [event.check for event in stored(pilot) if isinstance(event, ev.Answered)]


@asynccontextmanager
async def phone(pilot: Hand) -> AsyncIterator[httpx.AsyncClient]:
    """Come in by the code that the bench shows."""
    invited = app(pilot).at.mate
    assert invited is not None
    headers = {"origin": invited.address}
    async with httpx.AsyncClient(base_url=invited.address, headers=headers, timeout=10) as client:
        answer = await client.get(f"/j/{invited.code.replace('-', '')}")
        assert answer.status_code == 303
        yield client


async def listed(client: httpx.AsyncClient) -> str:
    """Read what there is to beware of, and return the page behind it."""
    for _ in range(5):
        text = (await client.get("/")).text
        if 'value="read"' not in text:
            return text
        hidden, said = form(text, "read")
        assert (await client.post("/", data={**hidden, "say": said[0]})).status_code == 303
    raise AssertionError("no end of hazards")


async def follows(pilot: Hand, what: str) -> float:
    """Wait until the bench shows something, with no key pressed; return the seconds that it took."""
    since = time.monotonic()
    while what not in seen(pilot):
        assert time.monotonic() - since < 5, seen(pilot)
        await asyncio.sleep(0.01)
    return time.monotonic() - since


async def invited(pilot: Hand) -> None:
    await begun(pilot)
    await press(pilot, "m")
    assert page(pilot) == "Mate", page(pilot)
    await press(pilot, "escape")
    assert page(pilot) == "Bench"


async def ended(pilot: Hand) -> None:
    if app(pilot).at.mate is not None:
        await press(pilot, "m", "m")


async def test_a_tick_on_the_phone_moves_the_bench_on_without_a_key(make: Make, shipped: Knowledge) -> None:
    async with letting(make("revs-hang", knowledge=shipped)).run_test(size=WIDE) as pilot:
        await invited(pilot)
        first = step(pilot)
        async with phone(pilot) as client:
            hidden, said = form(await listed(client), "tick")
            assert hidden["about"] == f"ask/{first.id}"
            before = len(stored(pilot))
            assert (await client.post("/", data={**hidden, "say": said[0]})).status_code == 303
            assert answers(pilot) == [first.id]
            await follows(pilot, "Your mate: ")
            assert step(pilot).id != first.id
            again = await client.post("/", data={**hidden, "say": said[0]})
            assert (again.status_code, len(stored(pilot))) == (303, before + 1)
        await ended(pilot)


async def test_two_hands_at_one_line_count_once(make: Make, shipped: Knowledge) -> None:
    async with letting(make("revs-hang", knowledge=shipped)).run_test(size=WIDE) as pilot:
        await invited(pilot)
        async with phone(pilot) as client:
            hidden, said = form(await listed(client), "tick")
            await press(pilot, "r", "1")
            count = len(stored(pilot))
            assert (await client.post("/", data={**hidden, "say": said[0]})).status_code == 303
            assert len(stored(pilot)) == count
        await ended(pilot)


async def test_a_key_that_was_on_its_way_ticks_no_line_that_the_mate_brought_up(make: Make, shipped: Knowledge) -> None:
    async with letting(make("revs-hang", knowledge=shipped)).run_test(size=WIDE) as pilot:
        await invited(pilot)
        await press(pilot, "r")
        async with phone(pilot) as client:
            hidden, said = form(await listed(client), "tick")
            await client.post("/", data={**hidden, "say": said[0]})
            await follows(pilot, "Your mate: ")
            await press(pilot, "1")
            assert len(answers(pilot)) == 1
            await asyncio.sleep(0.9)
            await press(pilot, "1")
            assert len(answers(pilot)) == 2
        await press(pilot, "escape")
        await ended(pilot)


async def test_what_is_not_so_is_told_to_the_driver_and_is_no_answer(make: Make, shipped: Knowledge) -> None:
    async with letting(make("revs-hang", knowledge=shipped)).run_test(size=WIDE) as pilot:
        await invited(pilot)
        first = step(pilot)
        async with phone(pilot) as client:
            text = await listed(client)
            hidden, said = form(text, "not so")
            tick = form(text, "tick")
            assert (await client.post("/", data={**hidden, "say": said[0]})).status_code == 303
            await follows(pilot, "not so, or not sure")
            assert (answers(pilot), step(pilot).id) == ([], first.id)
            assert isinstance(stored(pilot)[-1], ev.Noted)
            text = await listed(client)
            assert mate.TOLD in text
            assert 'value="tick"' not in text
            late = await client.post("/", data={**tick[0], "n": str(len(stored(pilot))), "say": tick[1][0]})
            assert (late.status_code, answers(pilot)) == (409, [])
            await press(pilot, "1")
            assert answers(pilot) == [first.id]
            assert "not so, or not sure" not in seen(pilot).partition("▸")[0] or step(pilot).id != first.id
            assert mate.TOLD not in await listed(client)
        await ended(pilot)


async def test_a_mate_ticks_no_other_line_and_sends_nothing_else(make: Make, shipped: Knowledge) -> None:
    async with letting(make("revs-hang", knowledge=shipped)).run_test(size=WIDE) as pilot:
        await invited(pilot)
        async with phone(pilot) as client:
            hidden, said = form(await listed(client), "tick")
            count = len(stored(pilot))
            others = [name for name in shipped.checks if f"ask/{name}" != hidden["about"]]
            for about in (*(f"ask/{name}" for name in others[:40]), "", "ask/", "needle/x"):
                answer = await client.post("/", data={**hidden, "about": about, "say": said[0]})
                assert answer.status_code == 409, about
            for do in ("step", "measure", "end", "back", "rather", "needs", "ready", "since", "note", "", "x"):
                answer = await client.post("/", data={**hidden, "do": do, "say": said[0]})
                assert answer.status_code == 422, do
            assert len(stored(pilot)) == count
            for path in ("/walks/x", "/here", "/cars/0", "/../journal.sqlite3"):
                assert (await client.get(path)).status_code == 404
        await ended(pilot)


async def test_all_that_runs_the_engine_is_the_drivers(make: Make, shipped: Knowledge) -> None:
    """The mate ticks as far as he may: nothing that he ticked is looked at with the engine running."""
    async with letting(make("revs-hang", knowledge=shipped)).run_test(size=WIDE) as pilot:
        await invited(pilot)
        async with phone(pilot) as client:
            for _ in range(60):
                text = await listed(client)
                if 'value="tick"' not in text:
                    break
                hidden, said = form(text, "tick")
                assert (await client.post("/", data={**hidden, "say": said[0]})).status_code == 303
            assert mate.WAITS in text
        done = answers(pilot)
        assert len(done) > 5
        assert {shipped.checks[name].engine for name in done} <= {"stopped", "any", "off"}, done
        await pilot.pause(0.1)
        await ended(pilot)


async def test_nobody_comes_in_without_the_code_or_from_another_site(make: Make, shipped: Knowledge) -> None:
    async with letting(make("revs-hang", knowledge=shipped)).run_test(size=WIDE) as pilot:
        await invited(pilot)
        address = app(pilot).at.mate.address  # type: ignore[union-attr]
        async with httpx.AsyncClient(base_url=address, timeout=10) as stranger:
            assert (await stranger.get("/")).status_code == 401
            assert (await stranger.get("/live")).status_code == 401
            assert (await stranger.get("/j/AAAAAAAA")).status_code == 403
            assert (await stranger.get("/", headers={"host": "elsewhere.example"})).status_code == 400
        async with phone(pilot) as client:
            hidden, said = form(await listed(client), "tick")
            foreign = {"origin": "http://elsewhere.example"}
            answer = await client.post("/", data={**hidden, "say": said[0]}, headers=foreign)
            assert (answer.status_code, answers(pilot)) == (403, [])
            answer = await client.post("/", data={**hidden, "key": "x", "say": said[0]})
            assert (answer.status_code, answers(pilot)) == (403, [])
        await ended(pilot)


async def test_the_same_key_ends_it_and_the_address_answers_no_more(make: Make, shipped: Knowledge) -> None:
    async with letting(make("revs-hang", knowledge=shipped)).run_test(size=WIDE) as pilot:
        await invited(pilot)
        address = app(pilot).at.mate.address  # type: ignore[union-attr]
        await press(pilot, "m", "m")
        assert (page(pilot), app(pilot).at.mate) == ("Bench", None)
        await gone(address)


async def test_it_ends_with_the_walk(make: Make, shipped: Knowledge) -> None:
    async with letting(make("revs-hang", knowledge=shipped)).run_test(size=WIDE) as pilot:
        await invited(pilot)
        address = app(pilot).at.mate.address  # type: ignore[union-attr]
        app(pilot).flow("walk")._store(ev.Ended(app(pilot).session.clock()))  # type: ignore[attr-defined]
        await pilot.pause()
        assert (page(pilot), app(pilot).at.mate) == ("End", None)
        await gone(address)


async def gone(address: str) -> None:
    for _ in range(300):
        try:
            async with httpx.AsyncClient(base_url=address, timeout=1) as client:
                await client.get("/now")
        except httpx.TransportError:
            return
        await asyncio.sleep(0.01)
    raise AssertionError("it still answers")


@pytest.mark.parametrize("size", SIZES)
async def test_the_code_is_whole_or_not_there_and_what_is_typed_always_is(
    make: Make, shipped: Knowledge, size: tuple[int, int]
) -> None:
    async with letting(make("revs-hang", knowledge=shipped)).run_test(size=size) as pilot:
        await begun(pilot)
        await press(pilot, "m")
        found = app(pilot).at.mate
        assert found is not None
        text = seen(pilot)
        whole = all(any(row.rstrip() in line for line in text.split("\n")) for row in found.picture)
        assert whole == (size[0] >= 80)
        assert not whole or colours(pilot) >= {ColorTriplet(0, 0, 0), ColorTriplet(255, 255, 255)}
        assert whole or "▄▄▄" not in text
        assert found.code in text
        assert found.address in text.replace("\n", " ")
        await press(pilot, "m")


async def test_without_the_packages_one_line_says_what_to_install(make: Make, shipped: Knowledge) -> None:
    def lacking(_: DriversBench) -> Invited:
        raise DiagnoseError(WITHOUT)

    made = make("revs-hang", knowledge=shipped)
    made.at.invite = lacking
    async with made.run_test(size=WIDE) as pilot:
        await begun(pilot)
        await press(pilot, "m")
        assert page(pilot) == "Bench"
        assert [one.message for one in pilot.app._notifications] == [WITHOUT]


async def test_what_is_read_is_not_taken_away_and_the_bench_follows_after(make: Make, shipped: Knowledge) -> None:
    async with letting(make("revs-hang", knowledge=shipped)).run_test(size=WIDE) as pilot:
        await invited(pilot)
        first = step(pilot)
        await press(pilot, "w")
        top = page(pilot)
        async with phone(pilot) as client:
            hidden, said = form(await listed(client), "tick")
            await client.post("/", data={**hidden, "say": said[0]})
            await asyncio.sleep(0.3)
            assert page(pilot) == top
        await press(pilot, "escape")
        await follows(pilot, "Your mate: ")
        assert step(pilot).id != first.id
        await ended(pilot)


def test_the_names_of_what_is_said_are_plain_values(shipped: Knowledge) -> None:
    name = next(iter(shipped.checks))
    assert mate.from_mate(None, shipped) == ()
    assert shipped.checks[name].name in mate.from_mate(MateSaid(name, so=False), shipped)[0].text  # type: ignore[union-attr]


def led(pilot: Hand) -> Step:
    screen = pilot.app.screen
    assert isinstance(screen, FirstDay), page(pilot)
    assert screen.step is not None
    return screen.step


@asynccontextmanager
async def newcomer(make: Make, shipped: Knowledge, size: tuple[int, int]) -> AsyncIterator[Hand]:
    """A newcomer at the first question, one thing at a time, with a mate let in; nobody was asked what happened."""
    async with letting(make(knowledge=shipped, engine=None)).run_test(size=size) as pilot:
        await tap(pilot, shipped.symptoms["spins-but-never-fires"].name)
        assert page(pilot) == "FirstDay"
        assert app(pilot).session.untold()
        await press(pilot, "m")
        assert page(pilot) == "Mate"
        await press(pilot, "escape")
        assert page(pilot) == "FirstDay"
        yield pilot
        await ended(pilot)


@pytest.mark.parametrize("size", SIZES)
async def test_one_thing_at_a_time_follows_a_mate_too(make: Make, shipped: Knowledge, size: tuple[int, int]) -> None:
    async with newcomer(make, shipped, size) as pilot, phone(pilot) as client:
        first = led(pilot)
        hidden, said = form(await listed(client), "tick")
        assert hidden["about"] == f"ask/{first.id}"
        assert (await client.post("/", data={**hidden, "say": said[0]})).status_code == 303
        await follows(pilot, "Your mate: ")
        assert page(pilot) == "FirstDay"
        assert (answers(pilot), led(pilot).id != first.id) == ([first.id], True)


async def test_what_is_not_so_leaves_one_who_is_led_at_the_same_part_of_the_step(
    make: Make, shipped: Knowledge
) -> None:
    async with newcomer(make, shipped, WIDE) as pilot, phone(pilot) as client:
        screen = pilot.app.screen
        assert isinstance(screen, FirstDay)
        while len(screen._portions) == 1:
            before = led(pilot).id
            hidden, said = form(await listed(client), "tick")
            assert (await client.post("/", data={**hidden, "say": said[0]})).status_code == 303
            while led(pilot).id == before:
                await asyncio.sleep(0.01)
        await asyncio.sleep(1.0)  # no key is taken right after the mate has turned the page
        await press(pilot, "enter")
        first, part, ticked = led(pilot), screen.portion, answers(pilot)
        assert part == 1
        hidden, said = form(await listed(client), "not so")
        assert (await client.post("/", data={**hidden, "say": said[0]})).status_code == 303
        await follows(pilot, "not so, or not sure")
        assert (led(pilot).id, screen.portion, answers(pilot)) == (first.id, part, ticked)


async def test_who_is_asked_what_happened_before_answers_that_before_a_mate_ticks(
    make: Make, shipped: Knowledge
) -> None:
    async with newcomer(make, shipped, WIDE) as pilot, phone(pilot) as client:
        await press(pilot, "f9")
        while page(pilot) == "Beware":
            await press(pilot, "enter")
        assert page(pilot) == "History"
        assert mate.WAITS in await listed(client)
        app(pilot).at.first_day = True
        assert form(await listed(client), "tick")
        await press(pilot, "escape")


async def test_the_key_is_offered_one_thing_at_a_time_only_where_a_mate_can_be_let_in(
    make: Make, shipped: Knowledge
) -> None:
    async with make(knowledge=shipped, engine=None).run_test(size=WIDE) as pilot:
        await tap(pilot, shipped.symptoms["spins-but-never-fires"].name)
        assert "m mate" not in seen(pilot)
        await press(pilot, "m")
        assert page(pilot) == "FirstDay"
        app(pilot).at.invite = here
        pilot.app.screen.refresh_bindings()
        await pilot.pause()
        assert "m mate" in seen(pilot)
