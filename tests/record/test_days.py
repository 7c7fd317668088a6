"""The days: the newest note of a day counts, and the fuel stays in the tank until another is noted."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagnose.errors import DiagnoseError
from diagnose.record.days import Day, Days, days, note, same_day
from diagnose.record.journal import Journal, JournalError
from diagnose.tune.air import Air
from diagnose.tune.fuel import Blend
from diagnose.tune.mixture import Conditions

HOUR = 3600.0
MORNING = 1_800_000_000.0  # 08:00 UTC
COOL, WARM = Air(18, 100_400, 0.6), Air(31, 100_200, 0.4)
WEAK, STRONG = Blend(0.16, 0.1), Blend(0.25, 0.1)


def test_the_newest_note_of_a_day_counts_for_all_of_it() -> None:
    noted = Days([Day(MORNING, COOL), Day(MORNING + 6 * HOUR, WARM), Day(MORNING + 60 * HOUR, COOL)])
    assert noted.air(MORNING - HOUR) == WARM
    assert noted.air(MORNING + 24 * HOUR) is None
    assert noted.air(MORNING + 55 * HOUR) == COOL


def test_the_fuel_of_an_engine_stays_until_another_is_noted() -> None:
    noted = Days(
        [
            Day(MORNING, fuel=WEAK),
            Day(MORNING + 24 * HOUR, fuel=STRONG, engine="red"),
            Day(MORNING + 240 * HOUR, fuel=WEAK, engine="red"),
        ]
    )
    assert noted.fuel("red", MORNING + 100 * HOUR) == STRONG
    assert noted.fuel("red", MORNING + 241 * HOUR) == WEAK
    assert noted.fuel("blue", MORNING + 241 * HOUR) == WEAK
    assert noted.fuel("red", MORNING - 24 * HOUR) is None


def test_a_fuel_for_every_engine_replaces_what_an_engine_had() -> None:
    noted = Days([Day(MORNING, fuel=STRONG, engine="red"), Day(MORNING + 1, fuel=WEAK)])
    assert noted.fuel("red", MORNING) == WEAK


def test_what_was_noted_is_found_again() -> None:
    journal = Journal.in_memory()
    note(journal, Day(MORNING, WARM, WEAK, 120.0, "red"))
    note(journal, Day(MORNING + HOUR, COOL))
    found = days(journal)
    assert found.elevation == 120
    assert found.conditions("red", MORNING + 2 * HOUR, 96.0) == Conditions(COOL, WEAK, 96.0)


def test_two_windows_may_both_note_a_day(tmp_path: Path) -> None:
    with Journal.open(tmp_path / "j.sqlite3") as here, Journal.open(tmp_path / "j.sqlite3") as there:
        note(here, Day(MORNING, WARM))
        note(there, Day(MORNING, COOL))
        note(here, Day(MORNING, WARM))
        assert len(there.read("days")) == 3


@pytest.mark.parametrize(
    ("day", "said"),
    [
        (Day(0, Air(31, 101_325, 1.4)), "humidity of 140%"),
        (Day(0, Air(31, 101_325, 0.5), elevation=2000.0), "probably the sea-level figure"),
        (Day(0, fuel=Blend(0.9, 0.2)), "no room for methanol"),
    ],
)
def test_a_day_that_cant_be_is_refused_and_not_stored(day: Day, said: str) -> None:
    journal = Journal.in_memory()
    with pytest.raises(DiagnoseError, match=said):
        note(journal, day)
    assert journal.read("days") == []


def test_a_note_that_cant_be_read_is_a_clear_line() -> None:
    journal = Journal.in_memory()
    journal.append("days", 0, ['{"at":"noon"}'], 0.0)
    with pytest.raises(JournalError, match="the journal holds a day that can't be read"):
        days(journal)


def test_a_day_is_one_of_the_calendar() -> None:
    assert same_day(MORNING, MORNING + 15 * HOUR)
    assert not same_day(MORNING, MORNING + 17 * HOUR)
