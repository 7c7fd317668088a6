"""The days: what was noted of the air and of the fuel. A stream of the journal."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from contextlib import suppress
from datetime import date, datetime

import msgspec
from msgspec import Struct

from diagnose.errors import DiagnoseError
from diagnose.record.journal import Conflict, Journal, JournalError
from diagnose.tune import air as airs
from diagnose.tune import fuel as fuels
from diagnose.tune.air import Air
from diagnose.tune.fuel import Blend
from diagnose.tune.mixture import Conditions

STREAM = "days"


class Day(Struct, frozen=True, omit_defaults=True):
    """What was noted at one moment; what was not looked at is None. Without an engine the fuel is every engine's."""

    at: float
    """Seconds since the epoch."""
    air: Air | None = None
    fuel: Blend | None = None
    elevation: float | None = None
    """m."""
    engine: str = ""


class Days:
    """All that was noted, ready to be asked. A day is one of the calendar where the person is."""

    def __init__(self, noted: Iterable[Day]) -> None:
        self.elevation: float | None = None
        """m, as last noted."""
        self._heights: list[tuple[date, float]] = []
        self._airs: dict[date, Air] = {}
        self._fuels: list[tuple[date, str, Blend]] = []
        for day in noted:
            if day.air is not None:
                self._airs[_date(day.at)] = day.air
            if day.fuel is not None:
                self._fuels.append((_date(day.at), day.engine, day.fuel))
            if day.elevation is not None:
                self.elevation = day.elevation
                self._heights.append((_date(day.at), day.elevation))
        self._heights.sort(key=lambda one: one[0])
        self._fuels.sort(key=lambda one: one[0])  # within a day the one noted last stays last

    def air(self, at: float) -> Air | None:
        """Return the air of the day of `at`: the newest that was noted on that day."""
        return self._airs.get(_date(at))

    def height(self, at: float) -> float | None:
        """Return the elevation of the day of `at` in m: the last one noted until then."""
        until = bisect_right(self._heights, _date(at), key=lambda one: one[0])
        return self._heights[until - 1][1] if until else None

    def fuel(self, engine: str, at: float) -> Blend | None:
        """Return the fuel of an engine on the day of `at`: the last one noted until then."""
        until = bisect_right(self._fuels, _date(at), key=lambda one: one[0])
        return next((fuel for _, owner, fuel in reversed(self._fuels[:until]) if owner in ("", engine)), None)

    def conditions(self, engine: str, at: float, head: float | None = None) -> Conditions:
        """Return the day and the fuel of an engine at `at`, with a head reading in °C."""
        return Conditions(self.air(at), self.fuel(engine, at), head)


_decoder = msgspec.json.Decoder(Day)


def days(journal: Journal) -> Days:
    """Return what was noted; raises `JournalError` for a note that can't be read."""
    try:
        return Days(map(_decoder.decode, journal.read(STREAM)))
    except msgspec.DecodeError as error:
        raise JournalError(f"the journal holds a day that can't be read: {error}") from error


def note(journal: Journal, day: Day) -> None:
    """Note a day; raises `DiagnoseError` for air or fuel that can't be."""
    refuse(day.air, day.fuel, day.elevation)
    body = msgspec.json.encode(day).decode()
    while True:
        with suppress(Conflict):  # another window noted something: both count
            journal.append(STREAM, len(journal.times(STREAM)), [body], day.at)
            return


def refuse(air: Air | None, fuel: Blend | None, elevation: float | None = None) -> None:
    """Raise `DiagnoseError` for air or fuel that can't be."""
    problem = (air and airs.problem(air, elevation)) or (fuel and fuels.problem(fuel))
    if problem:
        raise DiagnoseError(problem)


def same_day(one: float, other: float) -> bool:
    """Say whether two times, in seconds since the epoch, are of one day where the person is."""
    return _date(one) == _date(other)


def _date(at: float) -> date:
    return datetime.fromtimestamp(at).date()
