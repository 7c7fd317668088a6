"""First-day mode: somebody bought a used car yesterday, and has a small screen."""

from __future__ import annotations

import re

import pytest
from screens.hands import MEDIUM, NARROW, SIZES, Hand, Make, app, begun, page, press, seen, step, tap, until, walk

from diagnose.graph.model import Knowledge
from diagnose.reason import events as ev
from diagnose.screens.bench import Bench
from diagnose.screens.first_day import FirstDay
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.picked_by import numbered
from diagnose.workshop.session import READY

MOST_SCREENS, MOST_WORDS, MOST_STEPS = 9, 60, 8
"""The numbers that it is held to."""


def led(pilot: Hand) -> FirstDay:
    screen = pilot.app.screen
    assert isinstance(screen, FirstDay), page(pilot)
    return screen


async def say(pilot: Hand, answer: str) -> None:
    """Give an answer by its id: by arrow and enter, as any can be."""
    shown = led(pilot).query_one(Choices)
    ids = [choice.id for _, choice in shown._shown]
    shown.highlighted = ids.index(answer)
    await press(pilot, "enter")


async def to_the_question(pilot: Hand) -> int:
    """Say "done" until the step asks something; return on how many screens."""
    count = 1
    while not led(pilot)._portions[led(pilot).portion].last:
        await press(pilot, "enter")
        count += 1
    return count


@pytest.mark.parametrize("size", SIZES)
async def test_a_dead_plug_is_found_in_nine_screens_from_a_fresh_home(
    make: Make, shipped: Knowledge, size: tuple[int, int]
) -> None:
    dead = {"plug-glows": "dark", "igniter-on-spare-plug": "bright at once"}
    async with make(knowledge=shipped, engine=None).run_test(size=size) as pilot:
        await tap(pilot, shipped.symptoms["spins-but-never-fires"].name)
        screens = 1
        while led(pilot).step is not None and led(pilot).step.kind != "mend":  # type: ignore[union-attr]
            screens += await to_the_question(pilot)
            now = led(pilot).step
            assert now is not None
            await say(pilot, dead.get(now.id, shipped.checks[now.id].healthy))
        assert led(pilot).step.id == "plug-coil-broken"  # type: ignore[union-attr]
        assert screens + 1 <= MOST_SCREENS


async def test_few_words_stand_before_the_first_question(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped, engine=None).run_test(size=MEDIUM) as pilot:
        await pilot.pause()
        shown = seen(pilot).rpartition("! something is wrong")[0]
        assert "If you are young, have an adult beside you." in shown
        assert len(re.findall(r"[^\W\d_][\w']*", shown)) <= MOST_WORDS
        await press(pilot, "2")
        assert "?" in seen(pilot).partition("────")[0]


async def test_it_asks_for_nothing_that_a_newcomer_cannot_know(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped, engine=None).run_test(size=MEDIUM) as pilot:
        await pilot.pause()
        assert "Taken as: three needles, box start, run in." in seen(pilot)
        await press(pilot, "2")
        assert (walk(pilot).started.engine, page(pilot)) == ("", "FirstDay")
        await press(pilot, "0")
        assert "It counts as not known. Other looks will tell." in seen(pilot)


async def test_no_percentage_is_shown_and_no_suspect(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped, engine=None).run_test(size=MEDIUM) as pilot:
        await press(pilot, "2")
        for _ in range(4):
            await to_the_question(pilot)
            assert "%" not in seen(pilot)
            assert "likely" not in seen(pilot).replace("Very likely good", "")
            now = led(pilot).step
            assert now is not None
            await say(pilot, shipped.checks[now.id].healthy)


async def test_the_mode_is_changed_by_one_key_either_way_and_nothing_is_lost(make: Make, shipped: Knowledge) -> None:
    async with make("spins-but-never-fires", knowledge=shipped).run_test(size=MEDIUM) as pilot:
        await press(pilot, "enter", "n", "1")
        while page(pilot) == "Beware":
            await press(pilot, "enter")
        before, asked = walk(pilot).events, step(pilot).id
        await press(pilot, "f9")
        assert led(pilot).step.id == asked  # type: ignore[union-attr]
        await press(pilot, "enter", "f9")
        assert isinstance(pilot.app.screen, Bench)
        assert (walk(pilot).events, step(pilot).id) == (before, asked)


async def test_it_is_on_again_when_the_program_is_opened_again(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped, engine=None).run_test(size=MEDIUM) as pilot:
        await press(pilot, "2", "1")
        asked = led(pilot).step
        await press(pilot, "q")
    async with make(knowledge=shipped, engine=None).run_test(size=MEDIUM) as pilot:
        await press(pilot, "enter", "1")
        assert led(pilot).step == asked


async def test_who_knows_such_engines_is_shown_everything_and_is_not_led_again(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped, engine=None).run_test(size=MEDIUM) as pilot:
        await tap(pilot, "show me everything at once")
        assert page(pilot) == "Home"
        await press(pilot, "q")
    async with make(knowledge=shipped, engine=None).run_test(size=MEDIUM) as pilot:
        await pilot.pause()
        assert page(pilot) == "Home"


async def test_back_goes_to_the_screen_before_and_then_takes_the_answer_back(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped, engine=None).run_test(size=MEDIUM) as pilot:
        await press(pilot, "2", "1", "1")
        third = led(pilot).step
        await press(pilot, "enter", "b")
        assert (led(pilot).step, led(pilot).portion) == (third, 0)
        await press(pilot, "b")
        assert isinstance(walk(pilot).events[-1], ev.Retracted)
        assert "Is it mild enough today" in seen(pilot)
        await press(pilot, "b", "b")
        assert page(pilot) == "Home"


@pytest.mark.parametrize("size", SIZES)
async def test_what_the_hands_do_is_in_sight_on_every_screen(
    make: Make, shipped: Knowledge, size: tuple[int, int]
) -> None:
    async with make(knowledge=shipped, engine=None).run_test(size=size) as pilot:
        await press(pilot, "2")
        for _ in range(12):
            if page(pilot) != "FirstDay":
                break
            now, screen = led(pilot).step, led(pilot)
            assert now is not None
            words = re.sub(r"[^\w ]", "", re.sub(r"\s+", " ", seen(pilot)))
            portion = screen._portions[screen.portion]
            wanted = now.ask if portion.last else portion.does[0]
            assert " ".join(re.sub(r"[^\w ]", "", wanted).split()[:6]) in " ".join(words.split())
            await press(pilot, "enter") if not portion.last else await say(pilot, numbered(now.choices)[0][1].id)


async def test_what_is_not_understood_is_explained_and_nothing_is_recorded(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped, engine=None).run_test(size=(80, 60)) as pilot:
        await press(pilot, "2", "1")
        before = walk(pilot).events
        await press(pilot, "question_mark")
        assert page(pilot) == "ToRead"
        assert "The plate" in seen(pilot) or "fins" in seen(pilot)
        await press(pilot, "escape")
        assert (page(pilot), walk(pilot).events) == ("FirstDay", before)


async def test_at_home_f2_begins_at_what_a_dead_engine_does(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped).run_test(size=MEDIUM) as pilot:
        await press(pilot, "f9")
        assert "One thing at a time." in seen(pilot)
        assert "Taken as" not in seen(pilot)
        await press(pilot, "2")
        assert walk(pilot).started.engine == "blue truggy"
        assert page(pilot) == "FirstDay"


async def test_the_expert_bench_names_no_suspect_before_anything_is_known(make: Make, shipped: Knowledge) -> None:
    async with make("will-not-start", knowledge=shipped).run_test(size=(120, 36)) as pilot:
        await begun(pilot)
        while page(pilot) == "Beware":
            await press(pilot, "enter")
        assert "something not on the list" not in seen(pilot)
        assert "Nothing is known yet" in " ".join(seen(pilot).split())
        await press(pilot, "w")
        assert "%" not in seen(pilot)
        assert "none of the suspects" not in seen(pilot)


async def test_small_knowledge_without_a_door_begins_at_home(make: Make) -> None:
    async with make(engine=None).run_test(size=NARROW) as pilot:
        await pilot.pause()
        assert (page(pilot), app(pilot).at.first_day) == ("Home", True)


async def test_a_walk_in_first_day_mode_comes_to_its_end(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await until(pilot, "mend", tank_holds_pressure="2")
        await press(pilot, "f9")
        await to_the_question(pilot)
        await say(pilot, "done")
        readied = 0
        for _ in range(9):
            if page(pilot) == "End":
                break
            if page(pilot) == "Ready":  # the engine runs for the re-test
                readied += 1
                await press(pilot, "1")
                continue
            await to_the_question(pilot)
            now = led(pilot).step
            assert now is not None
            await say(pilot, "cured" if now.kind == "retest" else now.choices[0].id)
        assert "✓ Cured" in seen(pilot)
        assert readied == len(READY)


@pytest.mark.parametrize("answer", ["yes, one thing at a time", "no, everything at once"])
async def test_who_says_that_it_is_new_to_them_is_offered_it(make: Make, shipped: Knowledge, answer: str) -> None:
    async with make("spins-but-never-fires", knowledge=shipped).run_test(size=MEDIUM) as pilot:
        await press(pilot, "enter")
        await tap(pilot, "I have only just got it", "go on with what is ticked")
        assert "Shall I show one thing at a time" in seen(pilot)
        await tap(pilot, answer)
        assert (page(pilot) == "FirstDay") == answer.startswith("yes")
        assert walk(pilot).state.told["screws"] == ("only just got",)


async def test_the_questions_about_the_past_are_left_by_the_same_key(make: Make, shipped: Knowledge) -> None:
    async with make("spins-but-never-fires", knowledge=shipped).run_test(size=MEDIUM) as pilot:
        await press(pilot, "enter", "f9")
        assert page(pilot) == "FirstDay"
        await press(pilot, "f9")
        assert page(pilot) == "History"


async def test_a_new_engine_can_be_made_of_nothing_but_i_dont_know(make: Make) -> None:
    async with make().run_test(size=(80, 60)) as pilot:
        await press(pilot, "f2", "n")
        await press(pilot, "m", "y", "enter")
        for said in ("take three", "take a starter box", "take it as run in", "take fuel, as most do"):
            await tap(pilot, said)
        await press(pilot, "ctrl+s")
        assert app(pilot).session.engine("my").variant.says() == "three needles, box start, run in"


async def test_the_key_leaves_the_first_question_where_everything_is_wanted(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped, engine=None).run_test(size=MEDIUM) as pilot:
        await pilot.pause()
        assert page(pilot) == "Asked"
        await press(pilot, "f9")
        assert (page(pilot), app(pilot).at.first_day) == ("Home", False)


async def test_what_the_marked_answer_means_is_said_once(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped, engine=None).run_test(size=NARROW) as pilot:
        await press(pilot, "2", "down")
        now = led(pilot).step
        assert now is not None
        first_words = " ".join(now.choices[0].means.split()[:4])
        assert seen(pilot).count(first_words) == 1
