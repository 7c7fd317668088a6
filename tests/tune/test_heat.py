"""What an infrared thermometer shows, against values computed from Planck's law, and what a reading can say."""

from __future__ import annotations

from math import exp
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from diagnose.graph.wording import both, celsius, fahrenheit
from diagnose.tune.heat import AROUND, SET_TO, SURFACES, Surface, _spread, behind, limits, problem, radiance, reading

heads = st.floats(30, 200)
emissivities = st.floats(0.05, 1)
surfaces = st.sampled_from(get_args(Surface))

# True °C, and the readings for an emissivity of 0.1, 0.3, 0.55, 0.85 and 0.97 with 25 °C around and the thermometer set
# to 0.95: computed for this project from Planck's law from 8 to 14 µm by another program.
READINGS = [
    (80, (32.0, 45.0, 59.5, 75.1, 81.0)),
    (110, (36.8, 57.5, 79.7, 102.9, 111.4)),
    (140, (42.2, 70.8, 100.4, 130.8, 141.8)),
]


@pytest.mark.parametrize(("head", "shown"), READINGS)
def test_the_thermometer_shows_what_was_computed(head: float, shown: tuple[float, ...]) -> None:
    found = [reading(head, emissivity) for emissivity in (0.1, 0.3, 0.55, 0.85, 0.97)]
    assert found == pytest.approx(shown, abs=0.06)


def test_a_hundredth_of_emissivity_is_worth_seven_tenths_of_a_degree() -> None:
    # computed for this project: near 110 °C and an emissivity of 0.9
    assert reading(110, 0.91) - reading(110, 0.90) == pytest.approx(0.7, abs=0.03)


def test_forty_degrees_on_bare_metal_is_anything() -> None:
    # computed for this project: 85, 128 or 197 °C for an emissivity of 0.2, 0.1 or 0.05
    assert [behind(40, e) for e in (0.2, 0.1, 0.05)] == pytest.approx([85, 128, 197], abs=0.5)
    said = limits("bare", 40)[0]
    assert "85 °C (184 °F)" in said
    assert "197 °C (386 °F)" in said
    assert "cannot be corrected" in said


@given(st.floats(-40, 400))
def test_the_radiance_is_plancks_law_integrated(temperature: float) -> None:
    # scipy's quadrature of Planck's law; the arbitrary unit cancels against the radiance at 100 °C
    def planck(kelvin: float) -> float:
        return float(quad(lambda um: um**-5 / (exp(14_387.77 / (um * kelvin)) - 1), 8, 14, epsrel=1e-10)[0])

    expected = planck(temperature + 273.15) / planck(373.15)
    assert radiance(temperature) / radiance(100) == pytest.approx(expected, rel=1e-8)


@given(heads, emissivities, st.floats(-10, 45), st.floats(0.8, 1))
def test_what_is_behind_a_reading_is_what_made_it(head: float, emissivity: float, around: float, set_to: float) -> None:
    shown = reading(head, emissivity, around, set_to)
    assert behind(shown, emissivity, around, set_to) == pytest.approx(head, abs=1e-6)


@given(heads, emissivities, st.floats(0.1, 20))
def test_a_hotter_head_always_reads_higher(head: float, emissivity: float, more: float) -> None:
    assert reading(head + more, emissivity) > reading(head, emissivity)


@given(heads, st.floats(0.05, 0.94))
def test_a_surface_that_mirrors_more_than_the_thermometer_allows_for_reads_low(head: float, emissivity: float) -> None:
    assert 25 < reading(head, emissivity) < head
    assert reading(head, 0.95) == pytest.approx(head)


@pytest.mark.parametrize("surface", ["roughened", "anodised", "painted"])
@given(heads, st.floats(0, 1), st.floats(0, 40))
def test_the_true_range_holds_the_head_that_made_the_reading(
    surface: Surface, head: float, between: float, around: float
) -> None:
    skin = SURFACES[surface]
    shown = reading(head, skin.least + between * (skin.most - skin.least), around)
    spread = _spread(shown, surface, around, SET_TO)
    assert spread is not None
    assert spread[0] - 1e-6 <= head <= spread[1] + 1e-6


@given(st.floats(30, 110))
def test_paint_knows_more_than_anodising_and_anodising_more_than_rough_metal(shown: float) -> None:
    spreads = (_spread(shown, surface, AROUND, SET_TO) for surface in SURFACES if surface != "bare")
    widths = [most - least for least, most in filter(None, spreads)]
    assert len(widths) == 3
    assert widths == sorted(widths, reverse=True)


@given(st.floats(30, 110))
def test_bare_metal_is_never_corrected(shown: float) -> None:
    said = limits("bare", shown)
    assert any("paint a spot" in line for line in said)
    assert any("Do not touch it" in line for line in said)


def test_a_reading_far_below_its_surroundings_is_not_corrected() -> None:
    assert behind(0, 0.1) is None
    assert "Measure both again" in limits("roughened", 0)[0]


@given(surfaces, st.floats(-40, 200))
def test_every_reading_is_said_to_be_no_proof_of_rich_or_lean(surface: Surface, shown: float) -> None:
    assert any("does not say rich or lean" in line for line in limits(surface, shown))


@given(st.floats(-40, 300))
def test_fahrenheit_and_back_is_the_same(temperature: float) -> None:
    assert celsius(fahrenheit(temperature)) == pytest.approx(temperature, abs=1e-9)


def test_a_temperature_is_said_in_both_units() -> None:
    # °F = 1.8 °C + 32, by definition
    assert both(121.1) == "121 °C (250 °F)"
    assert fahrenheit(-40) == -40


@pytest.mark.parametrize("shown", [230, -60, float("nan"), float("inf")])
def test_a_reading_that_no_head_has_is_refused(shown: float) -> None:
    assert "°F" in (problem(shown) or "")


@given(heads)
def test_a_reading_that_a_head_can_have_is_taken(shown: float) -> None:
    assert problem(shown) is None
