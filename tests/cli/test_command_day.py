"""``diagnose day``: exact fields as JSON, plain lines, and what it explains of a drift."""

from __future__ import annotations

from pathlib import Path

import pytest
from cli.running import Diagnose
from cli.tuned import BLUE, COLD, DAY, NEEDLES

from diagnose.tune import air as moist
from diagnose.tune.air import Air


def test_a_day_is_told_as_json_with_exactly_these_fields(diagnose: Diagnose) -> None:
    """CIPM-2007 by the module, which tests/tune/test_air.py holds against published values."""
    air = Air(31.0, 100_400.0, 0.55)
    found = diagnose(*DAY, "--json").json
    assert found == {
        "temperature": 31.0,
        "pressure": 100_400.0,
        "humidity": pytest.approx(0.55),
        "density": pytest.approx(moist.density(air)),
        "dry_density": pytest.approx(moist.dry_density(air)),
        "density_altitude": pytest.approx(moist.density_altitude(moist.density(air))),
        "doubt": moist.doubt(air),
    }
    assert "made for 15 to 27 °C" in found["doubt"]
    assert diagnose(*(*DAY[:2], "20C", *DAY[3:]), "--json").json["doubt"] is None


def test_a_day_in_plain_lines_says_when_the_equation_is_not_made_for_it(diagnose: Diagnose) -> None:
    out = diagnose(*DAY).out.splitlines()
    assert out[:4] == [
        "· Day: 31 °C (88 °F), 55 %, 1004 hPa.",
        "the air",
        "· Density: 1.140 kg/m³. The dry part, which burns the fuel: 1.122 kg/m³.",
        "· Density altitude: 750 m (2460 ft). A standard day has this air there.",
    ]
    assert out[4].startswith("· The equation for air is made for 15 to 27 °C.")


def test_a_sea_level_pressure_and_the_elevation_come_to_the_station_s(diagnose: Diagnose) -> None:
    """ISO 2533 has 89876 Pa and 8.5 °C at 1000 m."""
    words = ("day", "--temperature", "8.5C", "--humidity", "0", "--sea-level-pressure", "29.9213inHg")
    found = diagnose(*words, "--elevation", "1000m", "--json").json
    assert found["pressure"] == pytest.approx(89_875, abs=5)
    feet = diagnose(*words, "--elevation", "3281ft", "--json").json
    assert feet["pressure"] == pytest.approx(found["pressure"], rel=1e-4)


def test_a_saved_day_is_taken_where_none_is_given(diagnose: Diagnose) -> None:
    assert "no air is noted for today" in diagnose("day").err
    saved = diagnose(*DAY, "--save", "--elevation", "80m", "--json").json
    assert diagnose("day", "--json").json == saved
    assert "no air is noted" in diagnose("day", "--save").err


def test_nothing_is_stored_without_save(diagnose: Diagnose, tmp_path: Path) -> None:
    diagnose(*DAY)
    diagnose("fuel", "16", "10")
    assert not (tmp_path / "home" / "journal.sqlite3").exists()


def test_a_day_explains_a_drift_and_advises(blue: Diagnose) -> None:
    nothing = blue(*DAY, "--engine", BLUE, "--json").json
    assert (nothing["engine"], nothing["explained"], nothing["advice"]) == (BLUE, None, None)
    assert "There is no good tune to compare with" in blue(*DAY, "--engine", BLUE).out
    blue(*DAY, "--save")
    blue("fuel", "16", "10", "--engine", BLUE, "--save")
    blue(*NEEDLES, "good")
    found = blue(*COLD, "--engine", BLUE, "--json").json
    assert set(found) == {
        *("temperature", "pressure", "humidity", "density", "dry_density", "density_altitude", "doubt"),
        *("engine", "explained", "advice"),
    }
    assert set(found["explained"]) == {
        *("drift", "percent", "hours", "unknown", "unexplained", "owed", "within_a_day", "why", "said", "assumptions"),
    }
    explained, advice = found["explained"], found["advice"]
    assert (explained["drift"], explained["unexplained"], explained["unknown"]) == (0, 0, [])
    assert 0 < explained["hours"]["low"] < explained["hours"]["high"] < 3
    assert (advice["way"], advice["before_start"]) == ("richer", True)
    assert advice["hours"] >= explained["hours"]["high"] - 1e-6
    out = blue(*COLD, "--engine", BLUE).out
    assert "Air, by suction: " in out
    assert "Fuel, however the tank is fed: as it was." in out
    assert ": richer, by the larger estimate, before you start it." in out
    assert "step by step by: diagnose needles ENGINE back" in out
    assert "· Near where it stands, each hour opens the needle by the same area." in out


def test_a_day_that_is_not_saved_does_not_change_what_is_noted(blue: Diagnose) -> None:
    blue(*DAY, "--save")
    blue(*COLD, "--engine", BLUE)
    assert blue("day", "--json").json["temperature"] == 31
