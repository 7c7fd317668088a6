"""The practice bench by keys: lessons, a hidden fault, the table, the debrief, and what is kept."""

from __future__ import annotations

import pytest
from screens.hands import NARROW, WIDE, Hand, Make, app, page, press, seen, tap, write
from screens.test_practice_looks import PAGES, done, practising, sit

from diagnose.graph.model import Knowledge
from diagnose.pages.debrief import BEST, SKIP
from diagnose.practice import happenings as hp
from diagnose.practice import setting
from diagnose.practice.debrief import debrief, does
from diagnose.practice.explain import areas
from diagnose.practice.lesson import CURED, GIVEN_UP
from diagnose.practice.new_case import shuffled
from diagnose.practice.table import Seat
from diagnose.screens.messages import Opened
from diagnose.workshop.learners import results

pytestmark = pytest.mark.slow

HOSTILE = [
    "[/]",
    "[bold]kim[/bold]",
    "$x",
    "kim\x1b[2J",
    "\u202ekim",
    "[@click=app.quit]kim[/]",
    "k" * 24,
    "漢字",
    "a/b",
]


def practice(pilot: Hand):
    found = app(pilot).at.practice
    assert found is not None
    return found


async def test_a_lesson_from_home_to_its_question_by_keys(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped).run_test() as pilot:
        await press(pilot, "f6", "enter")
        assert page(pilot) == "Nickname"
        await write(pilot, "kim")
        await press(pilot, "enter")
        assert page(pilot) == "PracticeBench"
        assert practice(pilot).begun.lesson == "start-it-safely"
        await press(pilot, "enter")
        assert page(pilot) == "Asked"
        await press(pilot, "1")
        assert page(pilot) == "PracticeBench"
        looked = practice(pilot).lines[-1]
        assert isinstance(looked.event, hp.Looked)
        assert looked.event.expected == shipped.checks["barrel-at-rest"].healthy
        assert "You expected" in seen(pilot) or "what you expected" in seen(pilot)
        await press(pilot, "g", "1")
        assert seen(pilot).startswith(f"  {BEST}")
        await press(pilot, "1")
        assert seen(pilot).startswith(f"  {SKIP}")
        await press(pilot, "1")
        assert practice(pilot).said(hp.Reflected) == hp.Reflected(1, 1)
        assert page(pilot) == "DebriefPage"
        right = shipped.lessons["start-it-safely"].question
        await press(pilot, str(shuffled(practice(pilot), right.answers).index(right.right) + 1))
        assert "✓ yes" in seen(pilot)
        kept = results(app(pilot).session.journal, "kim")
        assert [(one.scored.lesson, one.scored.ended, one.scored.reply) for one in kept] == [
            ("start-it-safely", GIVEN_UP, right.right)
        ]
        await press(pilot, "escape", "escape")
        assert page(pilot) == "Home"


async def test_a_wrong_answer_is_met_kindly_with_the_better_one(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped).run_test() as pilot:
        await sit(pilot)
        await done(pilot, hp.GaveUp())
        question = shipped.lessons["follow-the-fuel"].question
        order = shuffled(practice(pilot), question.answers)
        await press(pilot, str(next(n for n, one in enumerate(order, 1) if one != question.right)))
        assert "✗ no" in seen(pilot)
        assert "better:" in seen(pilot)


async def test_mending_and_trying_again_by_keys_cures_it_and_opens_the_debrief(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped).run_test() as pilot:
        await sit(pilot)
        await done(pilot, hp.Looked("barrel-at-rest"), hp.Looked("fail-safe-closes"), hp.Looked("hold-and-stream"))
        await press(pilot, "m", "slash")
        await write(pilot, "filter blocked")
        await press(pilot, "enter", "enter", "y")
        assert practice(pilot).ended == CURED
        assert "It is gone." in seen(pilot)
        await press(pilot, "1", "1")
        assert page(pilot) == "DebriefPage"
        await press(pilot, "escape")
        assert "debrief" in seen(pilot)
        await press(pilot, "d")
        assert page(pilot) == "DebriefPage"
        assert len(results(app(pilot).session.journal)) == 1


async def test_turning_running_going_back_and_hints_by_keys(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped).run_test() as pilot:
        await sit(pilot)
        await press(pilot, "t", "enter")
        assert practice(pilot).events[-1] == hp.TurnedScrew("high needle", 1)
        assert "Too early" in seen(pilot)
        await press(pilot, "r")
        assert practice(pilot).events[-1] == hp.Ran()
        assert "You ran it before" in seen(pilot)
        await press(pilot, "b", "h", "enter", "2")
        assert practice(pilot).events[-2:] == (hp.SetBack(), hp.Hinted(2, areas(practice(pilot).scope)[0]))
        assert "Make this check" in seen(pilot)


async def test_a_fault_that_a_mentor_hides_is_not_on_the_learners_screen(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped).run_test() as pilot:
        await press(pilot, "f6")
        await press(pilot, "end", "up", "enter")  # the last but one of the ways to begin
        assert "For the mentor" in seen(pilot)
        await press(pilot, "slash")
        await write(pilot, "cuts on the straight")
        await press(pilot, "enter", "enter", "slash")
        await write(pilot, "pick-up")
        await press(pilot, "enter", "enter", "enter")
        assert page(pilot) == "PracticeBench"
        assert practice(pilot).hands.wrong() == ["pick-up-split"]
        assert shipped.faults["pick-up-split"].name not in seen(pilot)


async def test_six_sit_at_the_table_and_a_digit_turns_to_each(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped).run_test(notifications=True) as pilot:
        for number in range(6):
            await sit(pilot, f"learner {number + 1}")
        for number in "615243":
            await press(pilot, number)
            assert f"[{number} learner {number}]" in seen(pilot)
            assert seen(pilot).startswith(f"  learner {number} ·")
        await press(pilot, "9")
        assert app(pilot).at.table.at == 2
        await sit(pilot, "one too many")
        assert len(app(pilot).at.table.seats) == 6
        await press(pilot, "k")
        assert len(app(pilot).at.table.seats) == 5


async def test_what_one_learner_does_stays_theirs(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped).run_test() as pilot:
        await sit(pilot, "kim")
        await sit(pilot, "ana", "it-runs-hot")
        await done(pilot, hp.Looked("barrel-at-rest"))
        await press(pilot, "1")
        assert practice(pilot).lines == ()
        await press(pilot, "2")
        assert len(practice(pilot).lines) == 1


async def test_only_one_real_engine_runs_at_a_time(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped).run_test(notifications=True) as pilot:
        for name in ("red", "blue"):
            app(pilot).at.table = app(pilot).at.table.joined(Seat(engine=name))
        practising(pilot).show()
        await press(pilot, "r", "1", "r")
        assert [seat.running for seat in app(pilot).at.table.seats] == [False, True]
        await press(pilot, "2", "r", "1", "r")
        assert [seat.running for seat in app(pilot).at.table.seats] == [True, False]
        await press(pilot, "k")
        assert len(app(pilot).at.table.seats) == 2


async def test_fast_laps_by_a_key_are_told_apart_from_a_run_on_the_stand(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped).run_test(size=WIDE) as pilot:
        await sit(pilot, "kim", "it-runs-hot")
        await press(pilot, "f")
        found = practice(pilot)
        assert found.lines[-1].event == hp.Ran(laps=True)
        laps, stand = does(shipped, hp.Ran(laps=True)), does(shipped, hp.Ran())
        assert debrief(found).steps[-1].did == laps != stand
        assert laps[:16] in seen(pilot)


@pytest.mark.parametrize("name", HOSTILE)
async def test_a_hostile_nickname_is_refused_or_shown_as_it_is(make: Make, shipped: Knowledge, name: str) -> None:
    async with make(knowledge=shipped).run_test() as pilot:
        await press(pilot, "f6", "enter")
        field = pilot.app.screen.query_one("#number")
        field.value = name
        await press(pilot, "enter")
        if name.isprintable():
            assert page(pilot) == "PracticeBench"
            assert name in seen(pilot)
            await press(pilot, "g", "1")
            assert [one.learner for one in results(app(pilot).session.journal)] == [name]
        else:
            assert page(pilot) == "Nickname"
            assert "can't be shown" in seen(pilot)
        assert "\x1b" not in seen(pilot)
        assert "\u202e" not in seen(pilot)


async def test_without_a_nickname_nothing_is_kept(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped).run_test() as pilot:
        await press(pilot, "f6", "enter", "enter", "g", "1")
        assert page(pilot) == "DebriefPage"
        assert app(pilot).session.journal.streams("practice/") == []


async def test_a_journal_that_cannot_be_written_stops_no_practice(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped).run_test(notifications=True) as pilot:
        app(pilot).session.journal._connection.execute("PRAGMA query_only = ON")
        await sit(pilot)
        await press(pilot, "r")
        assert len(practice(pilot).lines) == 1


@pytest.mark.parametrize("name", PAGES)
async def test_the_key_for_trouble_works_on_every_page(make: Make, shipped: Knowledge, name: str) -> None:
    async with make(knowledge=shipped).run_test() as pilot:
        await PAGES[name](pilot)
        assert "! something is wrong" in seen(pilot)
        await press(pilot, "exclamation_mark")
        assert page(pilot) == "Wrong"
        await press(pilot, "escape")
        assert page(pilot) != "Wrong"


async def test_taps_alone_look_mend_and_give_up(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped).run_test(size=NARROW) as pilot:
        await sit(pilot)
        await tap(pilot, "r run it")
        assert practice(pilot).events[-1] == hp.Ran()
        await tap(pilot, "g give up", "1  stop here")
        assert practice(pilot).ended == GIVEN_UP


async def test_a_practice_from_the_command_line_opens_at_its_bench(make: Make, shipped: Knowledge) -> None:
    opened = make(knowledge=shipped)
    opened.first = Opened(setting.from_lesson(shipped, "it-runs-hot"), "kim")
    async with opened.run_test(size=WIDE) as pilot:
        await pilot.pause()
        assert page(pilot) == "PracticeBench"
        assert "overheats" in seen(pilot)


async def test_home_does_not_load_the_simulated_engine() -> None:
    import subprocess
    import sys

    code = "import sys, diagnose.screens.app; print(*[m for m in sys.modules if m.startswith('diagnose.practice')])"
    assert not subprocess.check_output([sys.executable, "-c", code], text=True).strip()
