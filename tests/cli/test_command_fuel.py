"""``diagnose fuel``: exact fields as JSON, at the needle of an engine or of none."""

from __future__ import annotations

import pytest
from cli.running import Diagnose
from cli.tuned import BLUE, NEEDLES


def test_a_fuel_is_told_as_json_with_exactly_these_fields(diagnose: Diagnose) -> None:
    """Densities, kg of air for a litre, and the areas of a change by an independent computation (physics notes, §3)."""
    found = diagnose("fuel", "25", "10", "--from", "16%", "10%", "--json").json
    assert found == {
        "nitro": 0.25,
        "oil": 0.1,
        "methanol": pytest.approx(0.65),
        "density": pytest.approx(894.6, abs=0.05),
        "air_per_litre": {
            "oil_unburnt": pytest.approx(3.812, abs=0.001),
            "oil_burnt": pytest.approx(4.929, abs=0.001),
        },
        "from": {
            "nitro": 0.16,
            "oil": 0.1,
            "methanol": pytest.approx(0.74),
            "density": pytest.approx(863.4, abs=0.05),
            "air_per_litre": {
                "oil_unburnt": pytest.approx(4.099, abs=0.001),
                "oil_burnt": pytest.approx(5.216, abs=0.001),
            },
        },
        "change": {
            "area": {"low": pytest.approx(1.077, abs=0.001), "high": pytest.approx(1.095, abs=0.001)},
            "hours": {"low": pytest.approx(24 * 0.0771, abs=0.01), "high": pytest.approx(54 * 0.0945, abs=0.01)},
            "assumptions": ["Nobody has counted the high needle: 2 to 4.5 turns past where fuel flows are assumed."],
        },
    }
    alone = diagnose("fuel", "25", "10", "--json").json
    assert (alone["from"], alone["change"]) == (None, None)


def test_a_fuel_is_reckoned_at_the_engine_s_needle_from_its_last_good_tune(blue: Diagnose) -> None:
    blue("fuel", "16", "10", "--engine", BLUE, "--save")
    blue(*NEEDLES, "good")
    found = blue("fuel", "25", "10", "--engine", BLUE, "--save", "--json").json
    assert found["from"]["nitro"] == 0.16
    assert found["change"]["hours"] == {
        "low": pytest.approx(30 * 0.0771, abs=0.01),  # 36 hours out, of which up to 6 before fuel flows
        "high": pytest.approx(36 * 0.0945, abs=0.01),
    }
    again = blue("fuel", "30", "10", "--engine", BLUE, "--json").json
    assert again["from"]["nitro"] == 0.16  # what is in the tank is not yet what the needle is set for
    out = blue("fuel", "25", "10", "--engine", BLUE).out
    assert "against 16 % nitro, 10 % oil" in out
    assert "High needle: 7.7 to 9.5 % more fuel, " in out
    assert "Richen by the larger figure before you start it" in out
    assert "Leaner is an adjustment" in blue("fuel", "16", "10", "--from", "25", "10").out


def test_a_fuel_without_an_engine_is_every_engine_s(blue: Diagnose) -> None:
    blue("fuel", "20", "8", "--save")
    assert blue(*NEEDLES, "good", "--json").json["last_good"]["conditions"]["fuel"] == {"nitro": 0.2, "oil": 0.08}
