from __future__ import annotations

import pytest
from screens.hands import (
    MEDIUM,
    SIZES,
    WIDE,
    Clock,
    Make,
    answer,
    app,
    begun,
    go_on,
    page,
    press,
    seen,
    step,
    tap,
    toast,
    until,
    walk,
    write,
)

from diagnose.folders import home
from diagnose.graph.model import Knowledge
from diagnose.reason import events as ev
from diagnose.record.journal import Journal
from diagnose.screens.widgets.choices import Choices
from diagnose.workshop.session import Session


async def test_a_walk_from_home_to_cured_needs_only_the_keyboard(make: Make) -> None:
    async with make().run_test(size=MEDIUM) as pilot:
        await press(pilot, "enter")
        assert "Is it running now? Stop it." in seen(pilot)
        await press(pilot, "enter")
        assert "What changed since it last ran well?" in seen(pilot)
        await press(pilot, "down", "enter")
        await until(pilot, "mend", tank_holds_pressure="2")
        await until(pilot, "retest", mend="1")
        await press(pilot, "down", "enter")
        assert "✓ Cured" in seen(pilot)
        assert "mended: pressure line off or split" in seen(pilot)
        await press(pilot, "1")
        assert "What is it doing?" in seen(pilot)
        assert "not finished" not in seen(pilot)


@pytest.mark.parametrize("size", SIZES)
async def test_a_walk_from_home_to_a_hand_over_needs_only_taps(make: Make, size: tuple[int, int]) -> None:
    async with make().run_test(size=size) as pilot:
        await tap(pilot, "revs hang", "it stands still", "skip this")
        while page(pilot) != "End":
            if page(pilot) == "Ready":
                await tap(pilot, pilot.app.screen.query_one(Choices)._shown[0][1].say[:24])
                continue
            shown = seen(pilot)
            offered = ("I have read", "can't see it", "go on: there", "end here", "I can't tell")
            assert any(one in shown for one in offered), shown
            await tap(pilot, next(one for one in offered if one in shown))
        assert "→ Handed over" in seen(pilot)
        await tap(pilot, "back to the first page")
        assert page(pilot) == "Home"


@pytest.mark.parametrize("symptom", ["will-not-start", "overheats"])
@pytest.mark.slow
async def test_the_shipped_knowledge_walks_to_an_end(make: Make, shipped: Knowledge, symptom: str) -> None:
    async with make(symptom, knowledge=shipped).run_test(size=MEDIUM) as pilot:
        while page(pilot) != "End":
            if page(pilot) == "Bench" and step(pilot).kind in ("ask", "recheck"):
                healthy = shipped.checks[step(pilot).id].healthy
                await answer(pilot, str([choice.id for choice in step(pilot).choices].index(healthy) + 1))
            else:
                await go_on(pilot)
        assert walk(pilot).verdict() is not None


async def test_with_nothing_marked_a_stray_enter_answers_nothing(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        before = walk(pilot).events
        await press(pilot, "enter")
        assert walk(pilot).events == before


async def test_a_newcomer_without_an_engine_is_asked_for_one_and_goes_on(make: Make) -> None:
    async with make(engine=None).run_test(size=MEDIUM) as pilot:
        await press(pilot, "f9", "enter")
        assert "First, which engine is it?" in seen(pilot)
        await write(pilot, "red buggy")
        await press(pilot, "enter", "up", *["enter"] * 9, "1")
        assert page(pilot) == "Beware"
        assert app(pilot).session.engine("red buggy").variant.says() == "two needles, box start, run in"


async def test_an_engine_need_not_be_named(make: Make) -> None:
    async with make(engine=None).run_test(size=MEDIUM) as pilot:
        await press(pilot, "f9", "enter")
        await tap(pilot, "not now")
        assert page(pilot) == "Beware"
        assert walk(pilot).started.engine == ""
        assert not app(pilot).session.engines()


async def test_a_name_that_is_taken_is_refused_in_plain_words(make: Make) -> None:
    async with make().run_test(size=MEDIUM) as pilot:
        await press(pilot, "f2", "n")
        await write(pilot, "Blue Truggy")
        await tap(pilot, "save this engine")
        assert "there is an engine called 'Blue Truggy' already" in seen(pilot)


async def test_recorded_settings_are_taken_with_the_engine_and_nonsense_is_refused(make: Make) -> None:
    async with make().run_test(size=MEDIUM) as pilot:
        await press(pilot, "f2", "n")
        await write(pilot, "red buggy")
        pilot.app.screen.query_one("#low-needle").focus()
        await write(pilot, "two")
        await tap(pilot, "save this engine")
        assert "'two' is not a number of hours. Say it like 39, 39 h, 3t 3h or 3 1/4 turns." in seen(pilot)
        await press(pilot, "backspace", "backspace", "backspace")
        await write(pilot, "30,5")
        await tap(pilot, "save this engine")
        assert app(pilot).session.engine("red buggy").settings == {"low needle": 30.5}


async def test_another_engine_can_be_chosen(make: Make) -> None:
    async with make().run_test(size=MEDIUM) as pilot:
        await press(pilot, "f2", "n")
        await write(pilot, "red buggy")
        await tap(pilot, "save this engine")
        assert "engine: red buggy" in seen(pilot)
        await tap(pilot, "f2 engines", "blue truggy")
        assert "engine: blue truggy" in seen(pilot)


async def test_the_search_narrows_the_symptoms_as_it_is_typed(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped).run_test(size=MEDIUM) as pilot:
        await press(pilot, "slash")
        await write(pilot, "revs ha")
        assert "revs hang" in seen(pilot)
        assert "overheats" not in seen(pilot)
        await press(pilot, "enter", "enter")
        assert page(pilot) == "Beware"
        assert walk(pilot).symptom == "revs-hang"


async def test_an_answer_is_in_the_journal_before_the_next_question(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await press(pilot, "1")
        session = app(pilot).session
        stored = [ev.from_json(body) for body in session.journal.read(f"outing/{session.outing}")]
        assert tuple(stored) == walk(pilot).events
        assert isinstance(stored[-1], ev.Answered)


async def test_what_was_left_open_is_offered_first_and_goes_on_where_it_was(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await press(pilot, "1")
        left = walk(pilot).step(0)
        await press(pilot, "ctrl+q")
    async with make().run_test(size=MEDIUM) as pilot:
        await pilot.pause()
        assert "→ go on: revs hang · blue truggy" in seen(pilot)
        await press(pilot, "enter", "1", "enter")
        assert step(pilot) == left


async def test_an_open_walk_can_be_closed_from_home(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await press(pilot, "enter", "escape")
        assert "f7 close a walk" in seen(pilot)
        await press(pilot, "f7")
        assert "go on:" not in seen(pilot)
        assert not app(pilot).session.open_outings()


async def test_taking_back_undoes_any_answer(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await press(pilot, "1")
        (asked,) = walk(pilot).state.answers
        await press(pilot, "u")
        assert walk(pilot).scope.checks[asked].name in seen(pilot)
        await press(pilot, "enter")
        assert not walk(pilot).state.answers


async def test_not_quite_sure_counts_once(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await press(pilot, "s")
        assert "[✓] not quite sure" in seen(pilot)
        await press(pilot, "1")
        assert [given.sure for given in walk(pilot).state.answers.values()] == [False]
        if page(pilot) == "Beware":
            await press(pilot, "enter")
        assert "[ ] not quite sure" in seen(pilot)


async def test_not_quite_sure_can_be_tapped(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await tap(pilot, "not quite sure")
        assert "[✓] not quite sure" in seen(pilot)


async def test_with_a_deadline_an_owed_check_opens_by_one_key_and_comes_back_to_the_list(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await press(pilot, "t", "8", "enter")
        assert "8 min to go. Close the car up in 6 min, at 08:06." in seen(pilot)
        assert "→ Stay out" in seen(pilot)
        owed = walk(pilot).view(0).owed
        await press(pilot, "1")
        if page(pilot) == "Beware":
            await press(pilot, "enter")
        assert step(pilot).id == owed[0].check
        await press(pilot, "1")
        assert page(pilot) == "Time"
        assert [line.check for line in walk(pilot).view(0).owed] == [line.check for line in owed[1:]]


async def test_the_deadline_can_be_taken_away(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await press(pilot, "t", "8", "enter", "x")
        assert "Say how many minutes there are" in seen(pilot)
        await press(pilot, "escape")
        assert "to go" not in seen(pilot)


async def test_another_check_can_be_answered_unasked_and_escape_drops_it(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        own = step(pilot).id
        await press(pilot, "a", "slash")
        await write(pilot, "tank")
        await press(pilot, "enter", "enter", "enter")
        assert step(pilot).id == "tank-holds-pressure"
        await press(pilot, "escape")
        assert step(pilot).id == own


async def test_what_it_also_does_is_told_as_evidence(make: Make, shipped: Knowledge) -> None:
    async with make("revs-hang", knowledge=shipped).run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        before = [one.share for one in walk(pilot).view(0).suspects]
        await press(pilot, "a", "slash")
        await write(pilot, "it also: over")
        await press(pilot, "enter", "enter")
        assert walk(pilot).state.told["also"] == ("overheats",)
        assert [one.share for one in walk(pilot).view(0).suspects] != before
        assert page(pilot) == "Bench"


async def test_a_head_reading_is_typed_in_either_unit(make: Make) -> None:
    async with make("revs-hang").run_test(size=WIDE) as pilot:
        await begun(pilot)
        await until(pilot, "prepare")
        await press(pilot, "n")
        await write(pilot, "200 F")
        await press(pilot, "enter")
        heat = walk(pilot).state.heat
        assert heat is not None
        assert heat.head == pytest.approx(93.33, abs=0.01)
        assert "head 93 °C" in seen(pilot)


async def test_what_is_no_number_is_not_taken(make: Make) -> None:
    async with make("revs-hang").run_test(size=WIDE, notifications=True) as pilot:
        await begun(pilot)
        await until(pilot, "prepare")
        await press(pilot, "n")
        await write(pilot, "hot")
        await press(pilot, "enter")
        assert "Say it like 104, 104 C or 220 F." in toast(pilot)
        assert walk(pilot).state.heat is None


async def test_a_needle_step_shows_the_face_the_way_and_what_follows(make: Make) -> None:
    async with make("revs-hang").run_test(size=WIDE) as pilot:
        await begun(pilot)
        await until(pilot, "adjust", pinch_at_idle="2")
        shown = seen(pilot)
        assert "←──(12)" in shown
        assert "[11]" in shown
        assert "Low needle: screwdriver to the left (anticlockwise)" in shown
        assert "needles: open" in shown
        assert "Idle stop:" not in shown
        await press(pilot, "1")
        await until(pilot, "follow")
        assert "Idle stop: screwdriver to the right (clockwise)" in seen(pilot)
        assert "(12)─½→" in seen(pilot)


async def test_what_counts_from_earlier_today_is_said_on_one_page(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await until(pilot, "prepare")
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await press(pilot, "enter")
        assert "What has happened to the car since?" in seen(pilot)
        assert "✓ tank pressure, 08:00" in seen(pilot)
        await press(pilot, "1")
        assert "tank-holds-pressure" in walk(pilot).state.answers
        await press(pilot, "escape")
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await press(pilot, "enter", "3")
        assert "tank-holds-pressure" not in walk(pilot).state.answers


async def test_another_window_that_was_quicker_is_noticed_and_read_again(make: Make, small: Knowledge) -> None:
    async with make("revs-hang").run_test(size=(240, 40), notifications=True) as pilot:
        await begun(pilot)
        with Journal.open(home() / "journal.sqlite3") as other:
            second = Session(small, other, Clock())
            there = second.resume(app(pilot).session.outing)
            there = second.record(there.choose(step(pilot), step(pilot).choices[1].id, second.clock()))
            await press(pilot, "1")
        assert walk(pilot).events == there.events
        assert "it has been read again" in " ".join(seen(pilot).split())


@pytest.mark.parametrize("keys", [("q", "q"), ("ctrl+q",), ("ctrl+c",)])
async def test_leaving_always_works_and_loses_nothing(make: Make, keys: tuple[str, ...]) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await press(pilot, *keys)
    assert pilot.app.return_code == 0
    async with make().run_test(size=MEDIUM) as pilot:
        await pilot.pause()
        assert "→ go on: revs hang" in seen(pilot)


async def test_the_sheet_says_what_was_looked_at_and_what_is_owed(make: Make) -> None:
    async with make("revs-hang").run_test(size=WIDE) as pilot:
        await begun(pilot)
        await press(pilot, "1")
        await until(pilot, "refer", ask="0", barrel_at_rest="1")
        await press(pilot, "1", "2")
        (sheet,) = (home() / "sheets").iterdir()
        told = sheet.read_text("utf-8")
        assert "I looked at these, and they were sound:" in told
        assert "Still owed:" in told
        assert "Please don't turn the needles" in told
