"""How a screw moved over time."""

from __future__ import annotations

from diagnose.tune.needles import Baseline, Corrected, Good, Ledger, LedgerEntry, Turned, closed, flush, fold
from diagnose.tune.trend import points

START = Baseline(0, {"high needle": closed(36), "low needle": flush(2, sunk=True)})


def ledger(*entries: LedgerEntry) -> Ledger:
    return fold((START, *entries))


def leaner(at: float, hours: float = 1) -> Turned:
    return Turned(at, "high needle", "leaner", hours)


def test_the_points_of_the_drift_are_hours_from_the_baseline() -> None:
    found = ledger(leaner(1), Good(2), leaner(3, 0.5))
    assert points(found) == ((0, 0, False), (1, -1, False), (2, -1, True), (3, -1.5, False))


def test_without_a_baseline_the_first_count_is_where_it_starts() -> None:
    found = fold((Good(0), Corrected(1, {"high needle": closed(30)}), leaner(2)))
    assert points(found) == ((1, 0, False), (2, -1, False))


def test_of_a_long_ledger_the_newest_points_are_kept() -> None:
    ways = ("leaner", "richer", "richer")
    turns = [Turned(at, "high needle", ways[at % 3], 0.5) for at in range(1, 60)]  # type: ignore[arg-type]
    found = ledger(*turns)
    assert points(found, newest=7) == points(found)[-7:]
    assert len(points(found)) == 60


def test_depths_without_a_common_reference_are_left_out_of_the_points() -> None:
    found = ledger(Corrected(1, {"high needle": flush(3)}), Corrected(2, {"high needle": closed(35)}))
    assert points(found) == ((0, 0, False), (2, -1, False))
