"""Coming back to a walk that waits, and looking back at those that have ended."""

from __future__ import annotations

from screens.hands import MEDIUM, Hand, Make, app, begun, page, press, seen, step, tap, until, walk

from diagnose.graph.model import Knowledge
from diagnose.reason import events as ev


def flat(pilot: Hand) -> str:
    return " ".join(seen(pilot).split())


async def cured(pilot: Hand) -> None:
    await begun(pilot)
    await until(pilot, "mend", tank_holds_pressure="2")
    await until(pilot, "retest", mend="1")
    await tap(pilot, "it is gone: cured")
    assert "✓ Cured" in seen(pilot)
    await press(pilot, "1")


async def test_a_walk_called_cured_by_mistake_is_opened_again_and_the_record_only_grows(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await cured(pilot)
        before = walk(pilot).events
        await tap(pilot, "look back at walks that have ended")
        assert "revs hang · Cured" in flat(pilot)
        await press(pilot, "enter")
        await tap(pilot, "it was not cured: open this walk again")
        after = walk(pilot).events
        assert after[: len(before)] == before
        assert isinstance(after[-1], ev.Reopened)
        while page(pilot) in ("Beware", "Ready"):
            await press(pilot, "enter" if page(pilot) == "Beware" else "1")
        assert (walk(pilot).verdict(), step(pilot).kind) == (None, "retest")
        await press(pilot, "escape")
        assert "→ go on: revs hang" in flat(pilot)


async def test_home_offers_no_looking_back_before_a_walk_has_ended(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await press(pilot, "escape")
        assert page(pilot) == "Home"
        assert "look back" not in seen(pilot)


async def test_on_coming_back_what_was_done_is_told_and_what_was_open_is_confirmed(
    make: Make, shipped: Knowledge
) -> None:
    async with make("spins-but-never-fires", knowledge=shipped).run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        while "plug" not in walk(pilot).state.open:
            if page(pilot) == "Beware":
                await press(pilot, "enter")
            else:
                healthy = shipped.checks[step(pilot).id].healthy
                await press(pilot, str([one.id for one in step(pilot).choices].index(healthy) + 1))
        while page(pilot) != "Bench":
            await press(pilot, "enter")
        await press(pilot, "escape", "enter")
        assert "What was done:" in seen(pilot)
        assert "This was open. Is it still?" in seen(pilot)
        assert "the plug is out" in flat(pilot)
        await tap(pilot, "no, all of it has been closed")
        assert walk(pilot).state.open == ()
        assert app(pilot).session.walk is not None
