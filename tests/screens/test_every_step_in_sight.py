"""Every step that the knowledge has, on the bench at three sizes: what matters of it is in sight at once."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from screens.hands import MEDIUM, NARROW, WIDE, Hand, Make, begun, page, press, seen, walk
from screens.test_looks import THUMB
from textual.content import Content
from textual.widgets import Static

from diagnose.graph.model import Knowledge
from diagnose.graph.wording import clean
from diagnose.pages.parts import HowTo
from diagnose.pages.step import picture, step_page
from diagnose.reason.steps import StepMaker
from diagnose.reason.view import Step
from diagnose.screens.bench import Bench
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.column import MORE, Column
from diagnose.screens.widgets.picked_by import numbered
from diagnose.screens.widgets.rendered import rendered
from diagnose.screens.widgets.text import hung
from diagnose.workshop.session import reading_unit

pytestmark = pytest.mark.slow

SIZE = pytest.mark.parametrize("size", [WIDE, MEDIUM, NARROW], ids=str)


def words(text: str) -> str:
    """Return a text as its words, whatever stands between them; the thumb of a scrollbar is none."""
    return " ".join(THUMB.sub(" ", clean(text)).split())


def middle(pilot: Hand) -> str:
    """Return what is shown between the side parts, as words."""
    lines = seen(pilot).split("\n")
    if pilot.app.size.width == WIDE[0]:
        lines = [line.ljust(WIDE[0])[27:-33] for line in lines]
    return words("\n".join(lines))


def steps(pilot: Hand) -> Iterator[Step]:
    """Yield each check as it is asked, each mend and each preparation, and the re-test."""
    now = walk(pilot)
    made = StepMaker(now.standing)
    yield from (made.check(name, "why") for name in now.scope.checks)
    yield from (made.mend(name, "why") for name in now.scope.faults)
    yield from (made.prepare(name, "why") for name in now.knowledge.preparations)
    yield made.retest("why")


async def shown(pilot: Hand) -> list[Step]:
    """Return the steps, with the bench open."""
    while page(pilot) != "Bench":
        await press(pilot, {"Beware": "enter", "History": "n"}[page(pilot)])
    return list(steps(pilot))


async def put(pilot: Hand, step: Step) -> Bench:
    """Put a step on the bench."""
    bench = pilot.app.screen
    assert isinstance(bench, Bench)
    assert bench.view is not None
    bench.put(bench.view, step)
    await pilot.pause()
    return bench


@SIZE
async def test_the_question_one_step_of_how_and_the_marked_answer_are_in_sight_at_once(
    make: Make, shipped: Knowledge, size: tuple[int, int]
) -> None:
    wrong = []
    async with make("bogs-off-the-line", knowledge=shipped).run_test(size=size) as pilot:
        for step in await shown(pilot):
            bench = await put(pilot, step)
            assert bench.view is not None
            told = step_page(bench.view, step, shipped, brief=True).text
            how = [part.text for part in told if isinstance(part, HowTo)]
            choices = bench.query_one(Choices)
            for number in range(choices.option_count):
                choices.highlighted = number
                await pilot.pause()
                marked = choices._shown[number][1]
                sees = middle(pilot)
                sought = [step.ask, marked.say, marked.means, *(how[:1] if not step.turns else [])]
                wrong += [f"{step.kind} {step.id}: {one!r}" for one in sought if words(one) not in sees]
    assert wrong == []


@SIZE
async def test_no_answer_is_out_of_reach(make: Make, shipped: Knowledge, size: tuple[int, int]) -> None:
    async with make("bogs-off-the-line", knowledge=shipped).run_test(size=size) as pilot:
        for step in await shown(pilot):
            bench = await put(pilot, step)
            reached = set()
            choices = bench.query_one(Choices)
            for number in range(choices.option_count):
                choices.highlighted = number
                await pilot.pause()
                if words(choices._shown[number][1].say) in middle(pilot):
                    reached.add(choices._shown[number][1].id)
            below = {one.id for digit, one in numbered(step.choices) if f"{digit} " in seen(pilot)}
            assert reached | below == {one.id for one in step.choices}, step.id
            assert all(digit.strip() for digit, _ in numbered(step.choices)), step.id
            if step.kind == "ask" and not reading_unit(step):
                assert "can't tell" in seen(pilot), step.id
            choices.highlighted = None
            await pilot.pause()
            below_edge = "or ↓" if reading_unit(step) else "↓ more answers"
            assert below_edge in seen(pilot) or choices.max_scroll_y == 0, step.id


@SIZE
async def test_what_is_below_the_edge_is_told_with_the_key_that_shows_it(
    make: Make, shipped: Knowledge, size: tuple[int, int]
) -> None:
    async with make("bogs-off-the-line", knowledge=shipped).run_test(size=size) as pilot:
        for step in await shown(pilot):
            text = (await put(pilot, step)).query_one("#text", Column)
            assert (MORE in seen(pilot)) == (text.max_scroll_y > 0), step.id
            for _ in range(int(text.max_scroll_y) + 1):
                if MORE not in seen(pilot):
                    break
                before = text.scroll_y
                await press(pilot, "space")
                assert text.scroll_y > before
            assert text.scroll_y == text.max_scroll_y
            assert MORE not in seen(pilot)


@SIZE
async def test_a_drawing_is_in_sight_or_on_the_key_that_the_foot_names(
    make: Make, shipped: Knowledge, size: tuple[int, int]
) -> None:
    async with make("bogs-off-the-line", knowledge=shipped).run_test(size=size) as pilot:
        for step in await shown(pilot):
            drawing = shipped.drawings.get(step.where)
            if drawing is None:
                continue
            await put(pilot, step)
            assert "p picture" in seen(pilot), step.id
            assert len(picture(step, shipped)) >= 1
            await press(pilot, "p")
            assert page(pilot) == "ToRead"
            lines = seen(pilot).split("\n")
            for row in clean(drawing.picture).rstrip("\n").split("\n"):
                assert any(row.strip() in line for line in lines), (step.where, seen(pilot))
            await press(pilot, "escape")


def test_no_line_of_a_step_breaks_a_word(shipped: Knowledge) -> None:
    told = [check.ask for check in shipped.checks.values()] + [one for c in shipped.checks.values() for one in c.how]
    for text in told:
        lines = rendered([HowTo(text)], 38)
        assert isinstance(lines, Content)
        assert set(lines.plain.split()) <= {*text.split(), "·"}


async def test_suspects_and_trail_are_one_key_away_where_there_is_no_room_beside_the_step(
    make: Make, shipped: Knowledge
) -> None:
    for size in (MEDIUM, NARROW):
        async with make("revs-hang", knowledge=shipped).run_test(size=size) as pilot:
            await shown(pilot)
            assert "what it could be" not in seen(pilot)
            assert "b suspects" in seen(pilot)
            await press(pilot, "b")
            assert "what it could be" in seen(pilot)
            await press(pilot, "end")
            assert "so far" in seen(pilot)
            await press(pilot, "escape")
            assert page(pilot) == "Bench"
    async with make("revs-hang", knowledge=shipped).run_test(size=WIDE) as pilot:
        await begun(pilot)
        while page(pilot) != "Bench":
            await press(pilot, {"Beware": "enter", "History": "n"}[page(pilot)])
        assert "what it could be" in seen(pilot)
        assert "b suspects" not in seen(pilot)


@pytest.mark.parametrize("width", [38, 20, 74])
def test_no_word_is_broken_behind_a_long_introduction(width: int) -> None:
    told = hung("A healthy answer rules these out: ", "barrel held open, fail-safe off", width).plain
    assert " ".join(told.split()) == "A healthy answer rules these out: barrel held open, fail-safe off"


async def test_the_page_of_suspects_and_all_that_stands_behind_a_step_break_no_word(
    make: Make, shipped: Knowledge
) -> None:
    async with make("revs-hang", knowledge=shipped).run_test(size=NARROW) as pilot:
        for step in await shown(pilot):
            if step.kind != "ask":
                continue
            await put(pilot, step)
            whole: dict[str, set[str]] = {}
            for size in (NARROW, (200, 60)):
                await pilot.resize_terminal(*size)
                for key in ("w", "i"):
                    await press(pilot, key)
                    told = pilot.app.screen.query_one("#told", Static).content
                    assert isinstance(told, Content)
                    whole.setdefault(key, set(told.plain.split()))
                    assert whole[key] == set(told.plain.split()), step.id
                    await press(pilot, "escape")
            await pilot.resize_terminal(*NARROW)
