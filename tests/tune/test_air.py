"""The day's air against published values and reference libraries."""

from __future__ import annotations

from dataclasses import replace
from math import exp

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from diagnose.tune.air import (
    TEMPERATURES,
    ZERO,
    Air,
    density,
    density_altitude,
    doubt,
    dry_density,
    problem,
    sea_level_problem,
    station_pressure,
    vapour_share,
)

MMHG = 133.322387  # Pa, as NIST SP 811 has it
INHG = 3386.389  # Pa, the same
FOOT = 0.3048  # m, exact

lived_in = st.builds(Air, st.floats(-10, 45), st.floats(65_000, 108_000), st.floats(0, 1))


@pytest.mark.parametrize(
    ("celsius", "mmhg", "humidity", "published", "apart"),
    [
        # Gupta, Mass Metrology, p. 205
        (10, 730, 0.40, 1.19569, 0.000006),
        # the same, outside the equation's range; the book has the constants of 1981/91
        (40, 760, 0.40, 1.11497, 0.00008),
        # NIST SOP 2, examples 1 and 3, by an older equation (Jones)
        (22.3, 748.1, 0.37, 1.17194, 0.00007),
        (23.4, 612.3, 0.23, 0.95632, 0.00003),
    ],
)
def test_density_is_the_published_one(
    celsius: float, mmhg: float, humidity: float, published: float, apart: float
) -> None:
    assert density(Air(celsius, mmhg * MMHG, humidity)) == pytest.approx(published, abs=apart)


# Density, dry density and density altitude in m, computed for this project by a second program from the published
# equations. The last column is CoolProp 8.0.0, HAPropsSI("Vha"), in parts per million from CIPM-2007.
GRID = [
    (Air(15, 101325, 0.00), 1.22552, 1.22552, -4, 38),
    (Air(20, 101325, 0.50), 1.19931, 1.19063, 220, 38),
    (Air(25, 101325, 0.40), 1.17871, 1.16945, 399, 38),
    (Air(35, 101325, 0.80), 1.12660, 1.09479, 864, 40),
    (Air(5, 103000, 0.40), 1.28908, 1.28635, -534, 37),
    (Air(30, 84000, 0.20), 0.96184, 0.95574, 2449, 35),
    (Air(30, 98000, 0.60), 1.11545, 1.09715, 965, 38),
    (Air(10, 95000, 0.70), 1.16535, 1.15875, 517, 36),
    (Air(40, 100000, 0.30), 1.10338, 1.08798, 1076, 37),
]


@pytest.mark.parametrize(("air", "moist", "dry", "altitude", "apart"), GRID)
def test_the_grid_of_days_comes_out_as_computed(
    air: Air, moist: float, dry: float, altitude: int, apart: float
) -> None:
    assert density(air) == pytest.approx(moist, abs=6e-6)
    assert dry_density(air) == pytest.approx(dry, abs=6e-6)
    assert density_altitude(density(air)) == pytest.approx(altitude, abs=0.6)


@pytest.mark.parametrize(("air", "moist", "dry", "altitude", "apart"), GRID)
def test_density_is_as_far_from_the_reference_library_as_recorded(
    air: Air, moist: float, dry: float, altitude: int, apart: float
) -> None:
    assert (reference(air) / density(air) - 1) * 1e6 == pytest.approx(apart, abs=1.5)


@settings(max_examples=150, deadline=None)
@given(st.builds(Air, st.floats(0, 40), st.floats(65_000, 108_000), st.floats(0, 1)))
def test_density_agrees_with_the_reference_library_above_freezing(air: Air) -> None:
    # found on a grid: 49 parts per million at most; a thermometer's 1 °C is 3500
    assert density(air) == pytest.approx(reference(air), rel=50e-6)


@settings(max_examples=50, deadline=None)
@given(st.builds(Air, st.floats(-5, 0), st.floats(65_000, 108_000), st.floats(0, 1)))
def test_below_freezing_it_differs_more_by_vapour_over_ice(air: Air) -> None:
    # found on a grid: 156 parts per million at most, saturated at 600 hPa
    assert density(air) == pytest.approx(reference(air), rel=160e-6)


def reference(air: Air) -> float:
    """Return CoolProp's density of humid air, kg/m3 (it takes seconds to import, so only here)."""
    from CoolProp.CoolProp import HAPropsSI

    moist = HAPropsSI("Vha", "T", air.temperature + ZERO, "P", air.pressure, "R", air.humidity)
    return 1 / float(moist)


@given(st.builds(Air, st.floats(10, 30), st.floats(90_000, 110_000), st.floats(0, 0.8)))
def test_density_agrees_with_the_short_form_of_the_weighing_standard(air: Air) -> None:
    # OIML R 111-1, from memory, where it is good to 2e-4; here the two are up to 2.9e-4 apart, at 1100 hPa and 10 °C
    percent = air.humidity * 100
    vapour = 0.009 * percent * exp(0.061 * air.temperature)
    short = (0.34848 * air.pressure / 100 - vapour) / (ZERO + air.temperature)
    assert density(air) == pytest.approx(short, rel=3e-4)


@given(lived_in, st.floats(0.1, 10))
def test_hotter_air_is_thinner_and_holds_less_oxygen(air: Air, more: float) -> None:
    hotter = replace(air, temperature=air.temperature + more)
    assert density(hotter) < density(air)
    assert dry_density(hotter) < dry_density(air)


@given(lived_in, st.floats(0.01, 0.5))
def test_humid_air_is_lighter_and_loses_more_oxygen_than_weight(air: Air, more: float) -> None:
    assume(air.humidity + more <= 1)
    wetter = replace(air, humidity=air.humidity + more)
    assert density(wetter) < density(air)
    assert dry_density(wetter) / dry_density(air) < density(wetter) / density(air)


@given(lived_in, st.floats(100, 5000))
def test_more_pressure_is_more_air(air: Air, more: float) -> None:
    denser = replace(air, pressure=air.pressure + more)
    assert density(denser) > density(air)
    assert dry_density(denser) > dry_density(air)


@given(lived_in)
def test_dry_air_and_water_together_are_the_moist_air(air: Air) -> None:
    assert 0 <= vapour_share(air) < 0.2
    assert dry_density(air) <= density(air)
    assert dry_density(replace(air, humidity=0)) == density(replace(air, humidity=0))


def test_humidity_at_35_degrees_takes_more_oxygen_than_density() -> None:
    # computed for this project with CoolProp 8.0.0: -1.26% of the density, -3.37% of the dry air
    dry, wet = Air(35, 101325, 0.2), Air(35, 101325, 0.8)
    assert density(wet) / density(dry) - 1 == pytest.approx(-0.0126, abs=1e-4)
    assert dry_density(wet) / dry_density(dry) - 1 == pytest.approx(-0.0337, abs=1e-4)


@pytest.mark.parametrize(
    ("metres", "published"),
    # an ISO 2533-type table by geometric height, as three public repositories carry it
    [(0, 1.22500), (500, 1.16727), (1000, 1.11166), (2000, 1.00655), (3000, 0.909254)],
)
def test_density_altitude_finds_the_published_tables_height(metres: float, published: float) -> None:
    geopotential = 6_356_766 * metres / (6_356_766 + metres)
    assert density_altitude(published) == pytest.approx(geopotential, abs=0.15)  # the table's last digit


@settings(deadline=None)  # the first call imports the library
@given(st.floats(0.75, 1.35))
def test_density_altitude_is_the_reference_librarys(rho: float) -> None:
    from ambiance import Atmosphere

    assert density_altitude(rho) == pytest.approx(float(Atmosphere.from_density(rho).H[0]), abs=0.05)


def test_density_altitude_of_one_point_one_is_as_computed() -> None:
    # ambiance 1.3.1, from_density(1.1).H, computed for this project
    assert density_altitude(1.1) == pytest.approx(1107.06, abs=0.005)


@pytest.mark.parametrize(
    ("feet", "inhg", "celsius", "published", "apart", "computed"),
    [
        # a NOAA-related training module: pressure altitude 520 ft; its answer is by a rule of 120 ft for each degree
        (520, 29.92126, 35, 2932, 40, 2907),
        # a pilot's knowledge test, from memory; its answers are read off a chart
        (5250, 29.25, (81 - 32) / 1.8, 8500, 100, 8565),
        (3894, 30.35, (25 - 32) / 1.8, 2000, 100, 2043),
    ],
)
def test_density_altitude_solves_the_pilots_examples(
    feet: float, inhg: float, celsius: float, published: float, apart: float, computed: float
) -> None:
    pressure_altitude = feet + 145_366.45 * (1 - (inhg / 29.92126) ** 0.190284)  # the altimeter's rule
    height = pressure_altitude * FOOT
    pressure = station_pressure(101_325, height, standard_temperature(height))
    assert density_altitude(density(Air(celsius, pressure, 0))) / FOOT == pytest.approx(published, abs=apart)
    # the last column, computed for this project, has the standard's own dry gas, and no compressibility
    ideal = pressure * 28.9644e-3 / (8.31432 * (celsius + ZERO))
    assert density_altitude(ideal) / FOOT == pytest.approx(computed, abs=1)


def test_nine_thousand_feet_have_the_published_density() -> None:
    # a newspaper's weather column: 0.001812 slug/ft3 is the air of 9000 ft
    slug_per_cubic_foot = 515.378818
    assert density_altitude(0.001812 * slug_per_cubic_foot) / FOOT == pytest.approx(9000, abs=20)


def standard_temperature(height: float) -> float:
    return 15 - 0.0065 * height


@settings(deadline=None)
@given(st.floats(-400, 4000))
def test_station_pressure_on_a_standard_day_is_the_reference_librarys(height: float) -> None:
    from ambiance import Atmosphere

    geometric = 6_356_766 * height / (6_356_766 - height)
    expected = float(Atmosphere(geometric).pressure[0])
    assert station_pressure(101_325, height, standard_temperature(height)) == pytest.approx(expected, rel=1e-5)


@given(st.floats(93_000, 105_000), st.floats(1, 4000), st.floats(-20, 45), st.floats(1, 20))
def test_higher_means_less_pressure_and_a_warm_day_less_of_the_difference(
    sea_level: float, height: float, celsius: float, more: float
) -> None:
    there = station_pressure(sea_level, height, celsius)
    assert there < sea_level
    assert station_pressure(sea_level, height + more, celsius) < there
    assert station_pressure(sea_level, height, celsius + more) > there
    assert station_pressure(sea_level, 0, celsius) == sea_level


@given(st.floats(93_100, 104_900), st.floats(0, 3000), st.floats(-10, 45), st.floats(0, 1))
def test_a_converted_sea_level_figure_is_never_refused(
    sea_level: float, height: float, celsius: float, humidity: float
) -> None:
    air = Air(celsius, station_pressure(sea_level, height, celsius), humidity)
    assert problem(air, height) is None
    assert sea_level_problem(sea_level) is None


def test_a_sea_level_figure_given_as_the_stations_is_refused() -> None:
    air = Air(25, 101_800, 0.5)
    assert problem(air) is None
    assert problem(air, 50) is None
    said = problem(air, 1600)
    assert said is not None
    assert "1018 hPa at 1600 m" in said
    assert "sea-level figure: give it as that" in said


def test_a_station_figure_given_as_the_sea_levels_is_refused() -> None:
    said = sea_level_problem(84_000)
    assert said is not None
    assert "give it as the station pressure" in said


def test_a_pressure_too_low_for_the_elevation_is_refused() -> None:
    said = problem(Air(25, 84_000, 0.5), 50)
    assert said is not None
    assert "less than the weather brings" in said


@pytest.mark.parametrize(
    ("air", "words"),
    [
        (Air(20, 101_300, 1.4), "140%"),
        (Air(20, 101_300, -0.1), "-10%"),
        (Air(88, 101_300, 0.5), "write it like 88 F"),
        (Air(-41, 101_300, 0.5), "-41 °C"),
        (Air(20, 1004, 0.5), "10.04 hPa"),
        (Air(20, 2_992_000, 0.5), "hPa cannot be"),
        (Air(float("nan"), 101_300, 0.5), "Look at the thermometer"),
        (Air(20, float("inf"), 0.5), "cannot be"),
        (Air(20, 101_300, float("nan")), "cannot be"),
    ],
)
def test_air_that_cannot_be_is_refused_with_the_reason(air: Air, words: str) -> None:
    said = problem(air)
    assert said is not None
    assert words in said


@pytest.mark.parametrize("elevation", [-1000, 9000, float("nan")])
def test_an_elevation_that_cannot_be_is_refused(elevation: float) -> None:
    assert "elevation" in (problem(Air(20, 101_300, 0.5), elevation) or "")


@given(lived_in)
def test_outside_the_equations_temperatures_it_says_so(air: Air) -> None:
    inside = TEMPERATURES[0] <= air.temperature <= TEMPERATURES[1]
    assert (doubt(air) is None) == inside
