"""How long the tune bench takes: a day's whole computation, and opening a ledger of ten thousand changes."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from pathlib import Path

import msgspec

from diagnose.graph.model import Knowledge
from diagnose.record.engines import Engine
from diagnose.record.journal import Journal
from diagnose.tune import air, back, drift, fuel, needles
from diagnose.tune.air import Air
from diagnose.tune.fuel import Blend
from diagnose.tune.mixture import Conditions, Span
from diagnose.workshop.session import Session

CHANGES = 10_000
RUNS = 15

THEN = Conditions(Air(31, 99_200, 0.55), Blend(0.16, 0.10), 105)
TUNE = needles.fold(
    [
        needles.Baseline(0.0, {"low needle": needles.closed(14), "high needle": needles.closed(36)}),
        needles.Good(1.0, THEN),
        needles.Turned(2.0, "high needle", "leaner", 1.0),
    ]
)
WINDOW = Span(82.2, 104.4)


def milliseconds(run: Callable[[], object]) -> float:
    """Return the median time of a run, after one that is not measured."""
    run()
    taken = []
    for _ in range(RUNS):
        before = time.perf_counter()
        run()
        taken.append(time.perf_counter() - before)
    return statistics.median(taken) * 1000


def a_day() -> tuple[object, ...]:
    """Return everything that is said of a day: the air, the fuel, what they explain, the advice, and going back."""
    here = Air(12.5, air.station_pressure(101_800, 240, 12.5), 0.8)
    now = Conditions(here, Blend(0.25, 0.10), 95)
    moved = TUNE.drift()
    assert TUNE.last_good is not None
    assert moved is not None
    found = drift.explain(moved, TUNE.last_good, now, 7200.0, sought=TUNE.sought())
    assert now.fuel is not None
    return (
        air.problem(here, 240),
        air.doubt(here),
        air.density(here),
        air.dry_density(here),
        air.density_altitude(air.density(here)),
        fuel.problem(now.fuel),
        fuel.density(now.fuel),
        fuel.air_demand(now.fuel, oil_burnt=False),
        found.unexplained,
        drift.in_a_line(found),
        drift.advise(found, WINDOW, now.head),
        drift.evidence(found.unexplained, found.owed),
        back.going_back(TUNE, now),
    )


def opened(knowledge: Knowledge, home: Path) -> dict[str, float]:
    """Return the milliseconds of a day, and those that opening a long ledger takes more than an empty one."""
    with Journal.open(home / "ledgers.sqlite3") as journal:
        session = Session(knowledge, journal)
        for name in ("empty", "long"):
            session.add_engine(Engine(name, settings={"low needle": 14.0, "high needle": 36.0}))
        at = session.clock()
        changes = (
            needles.Turned(at + n, "low needle", "leaner" if n % 2 else "richer", 1.0, {}, "loads up", "better", "one")
            for n in range(CHANGES)
        )
        journal.append("ledger/long", 0, [msgspec.json.encode(change).decode() for change in changes], at)
        empty, long = (
            milliseconds(lambda name=name: Session(knowledge, journal).ledger(name)) for name in ("empty", "long")
        )
    return {"a day's whole computation, ms": milliseconds(a_day), "ledger of 10,000 changes, ms more": long - empty}
