"""What must hold on every page of the tune bench: trouble comes first, and no text, size or disk breaks it."""

from __future__ import annotations

import re

import pytest
from screens.hands import MEDIUM, NARROW, SIZES, Make, app, colours, page, press, seen
from screens.test_tuning_looks import NEW, TUNED
from screens.tuned import NAME, added, ledger, tuned

from diagnose.record.engines import Engine
from diagnose.record.journal import JournalError
from diagnose.tune.needles import Baseline, Corrected, Good, Turned, closed

pytestmark = pytest.mark.slow

HOSTILE = "[/x] [b]b[/b] 日本 'it' $primary @click"
NASTY = f"{HOSTILE} \x1b[31mred\x07 \u202egnirts\u2066 " + "x" * 3000


@pytest.mark.parametrize("name", [*NEW, *TUNED])
async def test_the_key_for_trouble_works_on_every_page(make: Make, name: str) -> None:
    made = tuned(make()) if name in TUNED else make()
    async with made.run_test(size=NARROW) as pilot:
        await (NEW | TUNED)[name](pilot)
        await press(pilot)
        assert "! something is wrong" in seen(pilot)
        before = page(pilot)
        await press(pilot, "exclamation_mark")
        assert "which is it?" in seen(pilot)
        await press(pilot, "escape")
        assert page(pilot) == before


@pytest.mark.parametrize("name", [*NEW, *TUNED])
async def test_every_page_can_be_left_for_good(make: Make, name: str) -> None:
    made = tuned(make()) if name in TUNED else make()
    async with made.run_test(size=MEDIUM) as pilot:
        await (NEW | TUNED)[name](pilot)
        await press(pilot)
        key = "ctrl+q" if re.search(r"\^q leave", seen(pilot)) else "q"
        await press(pilot, key, key, key)  # a letter is pressed twice; and a form that is filled in is asked about once
    assert pilot.app.return_code == 0


@pytest.mark.parametrize("size", SIZES)
async def test_no_name_and_no_text_of_a_ledger_breaks_a_page(make: Make, size: tuple[int, int]) -> None:
    made = added(make(), Engine(HOSTILE, notes=NASTY))
    clock = made.session.clock
    made.session.write(HOSTILE, Baseline(clock(), {"high needle": closed(38)}, reason=NASTY))
    made.session.write(HOSTILE, Turned(clock(), "high needle", "leaner", 1, reason=NASTY))
    made.session.write(HOSTILE, Good(clock(), plug=NASTY))
    made.session.write(HOSTILE, Corrected(clock(), {"high needle": closed(39)}, NASTY))
    async with made.run_test(size=size, notifications=True) as pilot:
        await press(pilot, "f3")
        if size != NARROW:  # there the heading is cut short
            assert f"Needles: {HOSTILE}" in seen(pilot)
        for key in "rtgbwsdi":
            await press(pilot, key)
            assert page(pilot) != "Needles"
            assert not {"\x1b", "\x07", "\u202e", "\u2066"} & set(seen(pilot))
            await press(pilot, "escape")
        assert page(pilot) == "Needles"


@pytest.mark.parametrize("size", [(20, 5), (29, 24), (80, 6), (1, 1)])
async def test_a_window_that_is_too_small_does_not_crash(make: Make, size: tuple[int, int]) -> None:
    async with tuned(make()).run_test(size=MEDIUM) as pilot:
        await press(pilot, "f3")
        for key in "rtgbwsdi":
            await press(pilot, key)
            await pilot.resize_terminal(*size)
            await press(pilot, "enter", "1", "escape")
            await pilot.resize_terminal(*MEDIUM)
            await press(pilot)
        assert page(pilot) == "Needles"
        assert "High needle" in seen(pilot)


async def test_without_colour_everything_is_still_said(make: Make, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with tuned(make()).run_test(size=(120, 60)) as pilot:
        await press(pilot, "f3")
        for said in ("(12½)", "g is the last good tune", "b the baseline", "one hour leaner since", "better"):
            assert said in seen(pilot)
        drawn = colours(pilot)
        assert drawn
        assert all(max(colour) - min(colour) < 3 for colour in drawn)


async def test_a_ledger_that_can_not_be_read_says_so_on_every_page(make: Make) -> None:
    made = tuned(make())
    length = len(made.session.journal.read(f"ledger/{NAME}"))
    made.session.journal.append(f"ledger/{NAME}", length, ['{"entry": "nonsense"}'], made.session.clock())
    async with made.run_test(size=MEDIUM, notifications=True) as pilot:
        await press(pilot, "f3")
        assert "holds an entry that can't be read" in " ".join(seen(pilot).split())
        await press(pilot, "d")
        assert "holds an entry that can't be read" in " ".join(seen(pilot).split())
        await press(pilot, "escape", "w", "enter", "down", "enter", "0", *["down", "enter"] * 4)
        assert page(pilot) == "Well"
        await press(pilot, *["escape"] * 8)
        assert page(pilot) == "Needles"


async def test_a_day_that_can_not_be_read_is_said_when_a_setting_is_written_down(make: Make) -> None:
    made = make()
    made.session.journal.append("days", 0, ["nonsense"], made.session.clock())
    async with made.run_test(size=(80, 60), notifications=True) as pilot:
        await press(pilot, "f3", "r", "enter", "enter", "9", "ctrl+s")
        assert page(pilot) == "Trouble"
        assert "holds a day that can't be read" in " ".join(seen(pilot).split())


@pytest.mark.parametrize(
    "keys",
    [("f3", "t", "ctrl+s"), ("f4", "ctrl+s"), ("f3", "w", "enter", "down", "enter", "0", *["down", "enter"] * 4, "1")],
    ids=["turned", "day", "well"],
)
async def test_when_saving_fails_it_can_go_on_without(
    make: Make, monkeypatch: pytest.MonkeyPatch, keys: tuple[str, ...]
) -> None:
    async with tuned(make()).run_test(size=MEDIUM) as pilot:
        journal = app(pilot).session.journal

        def full(*_: object) -> int:
            raise JournalError("the disk is full; make room and try again")

        monkeypatch.setattr(journal, "append", full)
        entries = len(ledger(app(pilot)).entries)
        await press(pilot, *keys)
        assert "the disk is full" in seen(pilot)
        await press(pilot, "1")
        assert not app(pilot).session.journal.saved
        assert page(pilot) == ("DayPage" if keys[0] == "f4" else "Needles")
        assert len(ledger(app(pilot)).entries) == entries + (keys[1] == "t")
        assert app(pilot).session.conditions(NAME).air is not None


async def test_a_text_of_any_length_can_be_typed_as_a_reason(make: Make) -> None:
    async with tuned(make()).run_test(size=(80, 60)) as pilot:
        await press(pilot, "f3", "t")
        pilot.app.screen.query_one("#why").value = NASTY
        await press(pilot, "ctrl+s")
        assert page(pilot) == "Needles"
        assert HOSTILE.split()[0] in seen(pilot)
