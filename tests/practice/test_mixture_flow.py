"""Fuel and air of the simulated engine. What tuners say is common practice, no source, unless a line names one."""

from __future__ import annotations

import pytest
from shipped import load

from diagnose.practice.faults import broken
from diagnose.practice.flow import Regime, flow, right
from diagnose.practice.parts import HIGH, SOUND, Parts, Screws, Weather
from diagnose.tune.air import Air
from diagnose.tune.fuel import Blend

ROWS = load().simulated_faults
DAY = Weather()
REGIMES: tuple[Regime, ...] = ("idle", "part", "full")


def mixtures(
    parts: Parts = SOUND, screws: Screws | None = None, day: Weather = DAY, needles: int = 3, level: float | None = None
) -> tuple[float, ...]:
    return tuple(flow(parts, screws or Screws(), day, regime, needles, level).mixture for regime in REGIMES)


def worst(fault: str, mode: int = 0, severity: float = 1.0) -> tuple[float, ...]:
    return mixtures(*broken(SOUND, Screws(), ROWS[fault], mode, severity))


def test_a_sound_engine_is_right_in_every_regime() -> None:
    assert mixtures() == pytest.approx((1, 1, 1))
    assert mixtures(needles=2) == pytest.approx((1, 1, 1))


def test_an_hour_of_the_top_needle_is_about_three_per_cent_of_the_flow() -> None:
    """physics.md §4: 1/36 = 2.8 % by the linear law, 2.5 % by the cone's geometry."""
    richer = mixtures(screws=Screws(high=HIGH + 1))[2]
    assert 1.024 < richer < 1.029


def test_the_low_needle_rules_the_idle_and_the_top_needle_full_throttle() -> None:
    low, high = mixtures(screws=Screws(low=16)), mixtures(screws=Screws(high=34))
    assert low[0] < low[1] < low[2] == pytest.approx(1)
    assert high[2] < high[1] < high[0] < 1  # the top feeds every circuit


def test_without_a_mid_needle_part_throttle_is_where_the_two_others_overlap() -> None:
    with_mid, without = (mixtures(screws=Screws(high=32), needles=needles)[1] for needles in (3, 2))
    assert without < with_mid < 1


@pytest.mark.parametrize(
    "fault", ["pressure-line-off", "tank-lid-leaks", "exhaust-nipple-clogged", "exhaust-joint-leaks"]
)
def test_a_lost_pressure_leans_the_top_most(fault: str) -> None:
    idle, part, full = worst(fault)
    assert full < part < idle < 1


def test_a_leak_of_air_leans_the_idle_most() -> None:
    for fault in ("carburettor-base-leak", "needle-seal-leak", "backplate-leaks", "front-bearing-leaks"):
        idle, part, full = worst(fault)
        assert idle < 0.85 < 0.97 < part < full <= 1


def test_a_blocked_fuel_filter_starves_the_top_and_hardly_the_idle() -> None:
    idle, _, full = worst("fuel-filter-blocked", severity=0.4)
    assert full < 0.8
    assert idle > 0.97


def test_a_choked_air_filter_makes_it_rich_and_weak() -> None:
    parts, screws = broken(SOUND, Screws(), ROWS["air-filter-dirty"], 0, 0.7)
    full = flow(parts, screws, DAY, "full")
    assert full.mixture > 1.1
    assert full.air < 0.8


def test_thin_air_enriches() -> None:
    """physics.md §4: exponents of the density between 0.5 and 0.62, for suction and for an exhaust-fed tank."""
    thin = mixtures(day=Weather(Air(20.0, 85_000.0, 0.5)))
    assert all(1.05 < mixture < 1.12 for mixture in thin)


def test_humid_air_enriches() -> None:
    """FAA test preparation, by physics.md §2: humid air enriches a carburettor."""
    dry, humid = (mixtures(day=Weather(Air(35.0, 101_325.0, humidity)))[2] for humidity in (0.2, 0.9))
    assert humid > dry


def test_a_day_of_ten_degrees_is_worth_less_than_an_hour() -> None:
    warm = right(Weather(Air(30.0, 101_325.0, 0.5)))
    assert 0 < HIGH - warm.high < 1


def test_stronger_fuel_leans_by_what_its_air_demand_says() -> None:
    """physics.md §3: from 20 to 25 % of nitro the needle's area must grow by (1.095 / 1.040 - 1) = 5.3 %."""
    assert 1 / mixtures(day=Weather(fuel=Blend(0.25, 0.10)))[2] == pytest.approx(1.095 / 1.040, abs=0.004)


def test_a_full_tank_is_half_an_hour_richer_at_the_top_than_an_empty_one() -> None:
    """trade.md §1: 40 mm of fuel is about half an hour of needle at full throttle."""
    full, nearly_empty = (mixtures(level=level)[2] for level in (0.95, 0.15))
    assert 0.3 < (full - nearly_empty) / 0.026 < 0.9


def test_a_leaking_lid_costs_more_the_emptier_the_tank_is() -> None:
    parts, _ = broken(SOUND, Screws(), ROWS["tank-lid-leaks"], 0, 0.5)
    full, low = (mixtures(parts, level=level)[2] for level in (0.9, 0.25))
    assert low < full - 0.05


def test_an_idle_stop_turned_in_brings_air_and_hardly_changes_the_mixture() -> None:
    turned = flow(SOUND, Screws().turned("idle stop", 3), DAY, "idle")
    assert turned.air > 1.15
    assert turned.mixture == pytest.approx(1, abs=0.02)


def test_a_needle_cannot_be_closed_past_its_seat() -> None:
    assert Screws().turned("low needle", -40).low > 0
    assert Screws().turned("idle stop", -40).gap > 0


def test_every_fault_leaves_numbers_that_can_be() -> None:
    for fault, row in ROWS.items():
        for mode in range(len(row.modes)):
            for severity in (0.0, 0.5, 1.0):
                parts, screws = broken(SOUND, Screws(), ROWS[fault], mode, severity)
                for regime in REGIMES:
                    found = flow(parts, screws, DAY, regime)
                    assert 0 <= found.mixture < 5
                    assert 0 < found.air < 5
