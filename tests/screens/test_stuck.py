"""Who can't go on is asked what is in the way, and led on: to the words, an easier look, a person, or a pause."""

from __future__ import annotations

from screens.hands import MEDIUM, Hand, Make, app, begun, page, press, seen, step, tap, until, walk

from diagnose.graph.model import Knowledge
from diagnose.reason import events as ev
from diagnose.screens.first_day import FirstDay

MOST_STEPS = 8
DOOR = "will-not-start"


def flat(pilot: Hand) -> str:
    return " ".join(seen(pilot).split())


async def cant(pilot: Hand) -> None:
    """Say that the step can't be told: that one could not reach it, where that is asked."""
    await press(pilot, "0")
    if "What is in the way?" in seen(pilot):
        await press(pilot, "1")


async def to_the_check(pilot: Hand, check: str) -> None:
    """Read what there is to beware of, and pass both guards."""
    await begun(pilot)
    for _ in range(5):
        if page(pilot) == "Beware":
            await press(pilot, "enter")
        elif walk(pilot).scope.checks[step(pilot).id].guard:
            await press(pilot, "1")
    assert step(pilot).id == check


async def test_all_cant_tell_names_a_person_after_three_and_is_over_in_eight_steps(
    make: Make, shipped: Knowledge
) -> None:
    async with make(knowledge=shipped, engine=None).run_test(size=MEDIUM) as pilot:
        await tap(pilot, "I don't know")
        for _ in range(3):
            assert "experienced driver" not in flat(pilot)
            await cant(pilot)
        assert "Ask somebody now" in seen(pilot)
        assert "a mentor of a club, or a model shop" in flat(pilot)
        await tap(pilot, "go on: there is more to look at")
        for _ in range(MOST_STEPS):
            if isinstance(pilot.app.screen, FirstDay) and pilot.app.screen.step.kind == "refer":  # type: ignore[union-attr]
                break
            await cant(pilot)
        await press(pilot, "1")
        assert page(pilot) == "End"
        assert walk(pilot).state.steps + 1 <= MOST_STEPS
        assert "somebody who stands beside you" in flat(pilot)


async def test_the_expert_bench_names_a_person_after_three_as_well(make: Make, shipped: Knowledge) -> None:
    async with make(DOOR, knowledge=shipped).run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        for _ in range(20):
            if "Ask somebody now" in seen(pilot):
                break
            await press(pilot, "enter") if page(pilot) == "Beware" else await cant(pilot)
        assert len(walk(pilot).state.unanswered) == 3
        assert "Ask somebody now" in seen(pilot)
        await tap(pilot, "end here, and show it to somebody")
        verdict = walk(pilot).verdict()
        assert (page(pilot), verdict and verdict.outcome) == ("End", "handed over")


async def test_cant_tell_asks_which_and_what_is_not_understood_is_explained(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped, engine=None).run_test(size=MEDIUM) as pilot:
        await tap(pilot, "I don't know")
        before = walk(pilot).events
        await press(pilot, "0")
        assert "What is in the way?" in seen(pilot)
        await tap(pilot, "I don't understand what to do")
        assert page(pilot) == "ToRead"
        assert "flywheel" in seen(pilot)
        await press(pilot, "escape")
        assert (page(pilot), walk(pilot).events) == ("FirstDay", before)


async def test_who_saw_it_and_is_not_sure_says_what_comes_nearest(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped, engine=None).run_test(size=MEDIUM) as pilot:
        await tap(pilot, "I don't know")
        await press(pilot, "0")
        await tap(pilot, "I am not sure what I saw")
        assert "What did it look like most?" in seen(pilot)
        await press(pilot, "1")
        last = walk(pilot).events[-1]
        assert isinstance(last, ev.Answered)
        assert (last.answer, last.sure) == ("turns freely", False)


async def test_a_mend_that_cant_be_done_now_lists_what_it_needs_and_waits_there(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await until(pilot, "mend", tank_holds_pressure="2")
        mend = step(pilot).id
        await press(pilot, "2")
        assert "It waits here" in seen(pilot)
        for thing in (*step_needs(pilot),):
            assert thing in seen(pilot)
        await tap(pilot, "leave it here, and come back")
        assert page(pilot) == "Home"
        assert "· waits for" in flat(pilot)
        assert isinstance(walk(pilot).events[-1], ev.Parked)
        assert mend not in walk(pilot).state.deferred
        await press(pilot, "enter")
        assert "Where you left it" in seen(pilot)
        await tap(pilot, "go on from there")
        await press(pilot, "enter")  # what can run away is stopped first
        assert (step(pilot).kind, step(pilot).id) == ("mend", mend)


def step_needs(pilot: Hand) -> tuple[str, ...]:
    now = walk(pilot).step(app(pilot).session.clock())
    assert now is not None
    return (*now.tools, *now.parts)


async def test_what_was_found_and_not_mended_begins_the_next_walk(make: Make, shipped: Knowledge) -> None:
    async with make("spins-but-never-fires", knowledge=shipped).run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        for _ in range(20):
            if page(pilot) == "Beware":
                await press(pilot, "enter")
            elif step(pilot).kind == "mend":
                break
            else:
                now = step(pilot)
                wanted = {"plug-glows": "dark"}.get(now.id, shipped.checks[now.id].healthy)
                await press(pilot, str([one.id for one in now.choices].index(wanted) + 1))
        assert step(pilot).id == "plug-coil-broken"
        await press(pilot, "2")
        await tap(pilot, "leave it here, and come back")
        walked = app(pilot).session.start("will-not-restart-hot", app(pilot).at.engine)
        assert [one.check for one in walked.started.found] == ["plug-glows"]
        first = walked.step(app(pilot).session.clock())
        assert first is not None
        assert "plug" in first.title or first.id in ("plug-coil-broken", "igniter-on-spare-plug", "plug-glows")


async def test_that_it_is_another_symptom_is_said_at_once_and_one_key_opens_it(make: Make, shipped: Knowledge) -> None:
    async with make("revs-but-does-not-pull", knowledge=shipped).run_test(size=MEDIUM) as pilot:
        await to_the_check(pilot, "sound-without-speed")
        await tap(pilot, "it stays low")
        assert "That sounds like a different complaint" in seen(pilot)
        await press(pilot, "1")
        assert walk(pilot).symptom == "bogs-off-the-line"
        assert "sound-without-speed" in walk(pilot).state.answers


async def test_who_does_not_think_so_goes_on_where_it_was(make: Make, shipped: Knowledge) -> None:
    async with make("revs-but-does-not-pull", knowledge=shipped).run_test(size=MEDIUM) as pilot:
        await to_the_check(pilot, "sound-without-speed")
        await tap(pilot, "it stays low")
        await tap(pilot, "none of these: go on here")
        assert walk(pilot).symptom == "revs-but-does-not-pull"
