"""``diagnose day``, ``fuel`` and ``needles``: exact fields as JSON, plain lines, one line for what can't be."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from cli.running import Diagnose

from diagnose.cli import cli, guarded
from diagnose.reason import events as ev
from diagnose.record.journal import Journal
from diagnose.tune import air as moist
from diagnose.tune.air import Air

DAY = ("day", "--temperature", "31C", "--humidity", "55", "--station-pressure", "1004hPa")
COLD = ("day", "--temperature", "41F", "--humidity", "80%", "--station-pressure", "1012 hPa")
BLUE = "blue truggy"
NEEDLES = ("needles", BLUE)


@pytest.fixture
def blue(diagnose: Diagnose) -> Diagnose:
    """The command, with an engine whose low and high needle are counted."""
    assert diagnose("engine", "add", BLUE, "--set", "low needle", "14", "--set", "high needle", "36").code == 0
    return diagnose


def closed(**hours: float) -> dict[str, Any]:
    return {name.replace("_", " "): {"hours": value, "from": "closed"} for name, value in hours.items()}


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
        "31 °C (88 °F), 55% humidity, 1004.0 hPa at the track",
        "density: 1.1396 kg/m3",
        "dry, which burns the fuel: 1.1219 kg/m3",
        "as thin as on a standard day at 746 m (2449 ft)",
    ]
    assert out[4].startswith("The equation for air is made for 15 to 27 °C.")


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
    assert "Nothing to compare with." in blue(*DAY, "--engine", BLUE).out
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
    assert "Air: " in out
    assert "Fuel: as it was." in out
    assert "The high needle: richer, " in out
    assert "- Near where it stands, each hour opens the needle by the same area." in out


def test_a_day_that_is_not_saved_does_not_change_what_is_noted(blue: Diagnose) -> None:
    blue(*DAY, "--save")
    blue(*COLD, "--engine", BLUE)
    assert blue("day", "--json").json["temperature"] == 31


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
    assert "from 16% nitromethane, 10% oil:" in out
    assert "the needle's area: +7.7 to +9.5%" in out
    assert "Richen by the larger figure before you start it" in out
    assert "Leaner is an adjustment" in blue("fuel", "16", "10", "--from", "25", "10").out


def test_a_fuel_without_an_engine_is_every_engine_s(blue: Diagnose) -> None:
    blue("fuel", "20", "8", "--save")
    assert blue(*NEEDLES, "good", "--json").json["last_good"]["conditions"]["fuel"] == {"nitro": 0.2, "oil": 0.08}


def test_needles_are_told_as_json_with_exactly_these_fields(blue: Diagnose) -> None:
    found = blue(*NEEDLES, "--json").json
    at = found["baseline"].pop("at")
    assert at > 1e9
    assert found == {
        "engine": BLUE,
        "now": closed(low_needle=14, high_needle=36),
        "baseline": {
            "settings": closed(low_needle=14, high_needle=36),
            "conditions": {"air": None, "fuel": None, "head": None},
            "plug": "",
        },
        "last_good": None,
        "moved": {},
        "drift": None,
        "uncounted": [],
        "air_screw": False,
    }
    assert blue(*NEEDLES, "show", "--json").json == blue(*NEEDLES, "--json").json
    assert blue(*NEEDLES).out == blue(*NEEDLES, "show").out


def test_a_tune_is_marked_good_with_its_day_its_fuel_and_its_head(blue: Diagnose) -> None:
    out = blue(*NEEDLES, "good").out
    assert "The air of today is not noted" in out
    assert "The fuel is not noted" in out
    blue(*DAY, "--save")
    blue("fuel", "16", "10", "--save")
    found = blue(*NEEDLES, "good", "--head", "208F", "--plug", "medium", "--json").json["last_good"]
    assert found["settings"] == closed(low_needle=14, high_needle=36)
    assert found["plug"] == "medium"
    assert found["conditions"] == {
        "air": {"temperature": 31.0, "pressure": 100_400.0, "humidity": 0.55},
        "fuel": {"nitro": 0.16, "oil": 0.1},
        "head": pytest.approx(97.8, abs=0.05),
    }
    assert "not noted" not in blue(*NEEDLES, "good").out


def test_what_was_counted_is_set_right_and_counts_as_moved(blue: Diagnose) -> None:
    blue(*NEEDLES, "good")
    found = blue(*NEEDLES, "set", "high needle", "34,5", "--reason", "counted it", "--json").json
    assert found["now"] == closed(low_needle=14, high_needle=34.5)
    assert found["last_good"]["settings"] == found["baseline"]["settings"] == closed(low_needle=14, high_needle=36)
    assert (found["moved"], found["drift"]) == ({"high needle": -1.5}, -1.5)
    out = blue(*NEEDLES).out
    assert "high needle: 34.5 hours (2 turns and 10.5 hours) out from gently closed; last good 36 hours" in out
    assert "since it was good or went back: high needle 1.5 hours leaner" in out


def test_the_first_counts_are_the_baseline_and_later_ones_only_when_asked(diagnose: Diagnose) -> None:
    diagnose("engine", "add", "red")
    assert "No screw is counted yet" in diagnose("needles", "red").out
    diagnose("needles", "red", "set", "low needle", "14")
    found = diagnose("needles", "red", "set", "idle stop", "20", "--json").json
    assert found["baseline"]["settings"] == closed(low_needle=14, idle_stop=20)
    diagnose("needles", "red", "good")
    found = diagnose("needles", "red", "set", "low needle", "15", "--json").json
    assert found["baseline"]["settings"] == closed(low_needle=14, idle_stop=20)
    found = diagnose("needles", "red", "set", "low needle", "16", "--baseline", "--air-screw", "--json").json
    assert found["baseline"]["settings"] == closed(low_needle=16, idle_stop=20)
    assert found["air_screw"]


@pytest.mark.parametrize(
    ("words", "stands", "said"),
    [
        (("2",), {"hours": 2, "from": "closed"}, "2 hours out from gently closed"),
        (("2", "--flush"), {"hours": 2, "from": "flush"}, "2 hours above flush with the body"),
        (("2", "--flush", "--sunk"), {"hours": -2, "from": "flush"}, "2 hours below flush with the body"),
        (
            ("--caliper", "1.5", "--pitch", "0.5"),
            {"hours": 36, "from": "caliper", "mm": 1.5, "pitch": 0.5},
            "1.50 mm above the body by the caliper",
        ),
    ],
)
def test_a_depth_keeps_what_it_was_measured_from(
    diagnose: Diagnose, words: tuple[str, ...], stands: dict[str, Any], said: str
) -> None:
    diagnose("engine", "add", "red")
    found = diagnose("needles", "red", "set", "high needle", *words, "--json").json
    assert found["now"]["high needle"] == stands
    assert f"high needle: {said}; baseline {said if len(words) > 1 else '2 hours'}" in diagnose("needles", "red").out


def test_going_back_is_told_and_then_written_down(blue: Diagnose) -> None:
    blue(*DAY, "--save")
    blue("fuel", "16", "10", "--save")
    blue(*NEEDLES, "good")
    blue(*NEEDLES, "set", "high needle", "34")
    blue("fuel", "25", "10", "--save")
    found = blue(*NEEDLES, "back", "--json").json
    assert set(found) == {"engine", "targets", "because", "how", "done"}
    assert not found["done"]
    assert found["targets"]["high needle"] == {
        "hours": 39.5,
        "from": "closed",
        "record": {"hours": 36, "from": "closed"},
        "added": 3.5,
    }
    assert "9.5 % more fuel is asked for than then" in found["because"]
    out = blue(*NEEDLES, "back").out
    assert " 1  Engine off, and cool enough to touch." in out
    assert "Never force it. It should take about 34 hours." in out
    assert blue(*NEEDLES, "--json").json["now"]["high needle"]["hours"] == 34  # nothing was written yet
    done = blue(*NEEDLES, "back", "--done").out
    assert "high needle: 39.5 hours (3 turns and 3.5 hours) out from gently closed, 3.5 hours to the rich side" in done
    after = blue(*NEEDLES, "--json").json
    assert (after["now"]["high needle"]["hours"], after["moved"]) == (39.5, {})
    assert after["last_good"]["settings"]["high needle"]["hours"] == 36


def test_history_lists_hand_and_walk(blue: Diagnose, tmp_path: Path) -> None:
    at = 2_000_000_000.0
    with Journal.open(tmp_path / "home" / "journal.sqlite3") as journal:
        started = ev.Started(at, "", "revs-hang", BLUE, ev.Variant())
        turned = ev.Adjusted(at + 60, "low needle", "richer", 1.0, {"idle stop": 0.5})
        events = [started, turned, ev.Retested(at + 120, "better"), ev.Mended(at + 180, "idle-stop-open")]
        journal.append("outing/one", 0, [ev.to_json(event) for event in events], at)
    blue(*NEEDLES, "good", "--plug", "medium")
    lines = blue(*NEEDLES, "history").out.splitlines()
    assert [line[18:] for line in lines[:2]] == [
        "baseline: low needle 14 hours (one turn and 2 hours) out from gently closed, "
        "high needle 36 hours (3 turns) out from gently closed",
        "good as it stands  plug: medium",
    ]
    assert lines[2][18:] == "low needle one hour richer, idle stop half an hour in  better  revs hang  (one)"
    found = blue(*NEEDLES, "history", "--json").json
    assert [entry["entry"] for entry in found["entries"]] == ["baseline", "good", "turned"]
    assert found["entries"][2] == {
        "entry": "turned",
        "at": at + 60,
        "screw": "low needle",
        "way": "richer",
        "hours": 1.0,
        "follow": {"idle stop": {"way": "in", "hours": 0.5}},
        "reason": "revs hang",
        "result": "better",
        "outing": "one",
    }
    diagnose = blue
    diagnose("engine", "add", "red")
    assert diagnose("needles", "red", "history").out == "Nothing is written down yet.\n"


P = ("--temperature", "20C", "--humidity", "50")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("day", *P), "the air needs its temperature, its humidity and one pressure"),
        (("day", *P, "--station-pressure", "1004hPa", "--sea-level-pressure", "1013hPa"), "one pressure"),
        (("day", *P, "--sea-level-pressure", "1013hPa"), "needs the --elevation"),
        (("day", *P, "--station-pressure", "1013hPa", "--elevation", "2000m"), "probably the sea-level figure"),
        (("day", *P, "--sea-level-pressure", "900hPa", "--elevation", "100m"), "is no sea-level pressure"),
        (("day", *P, "--sea-level-pressure", "1013hPa", "--elevation", "90km"), "outside what this can work with"),
        (("day", *P, "--station-pressure", "1004"), "--station-pressure: '1004' has no unit"),
        (("day", *P, "--station-pressure", "1004 psi"), "cannot be"),
        (("day", "--temperature", "31", "--humidity", "5", "--station-pressure", "1bar"), "--temperature: '31' has no"),
        (("day", "--temperature", "88C", "--humidity", "5", "--station-pressure", "1bar"), "write it like 88 F"),
        (("day", "--temperature", "-300C", "--humidity", "5", "--station-pressure", "1bar"), "No air at a track"),
        (("day", "--temperature", "9C", "--humidity", "140", "--station-pressure", "1bar"), "humidity of 140%"),
        (("day", "--temperature", "\x1b[2J", "--humidity", "5", "--station-pressure", "1bar"), "--temperature: '[2J'"),
        (("day", *P, "--station-pressure", "1004hPa", "--engine", "rde"), "did you mean 'red'"),
        (("fuel", "80", "30"), "no room for methanol"),
        (("fuel", "much", "10"), "NITRO: 'much' is not a number"),
        (("fuel", "16", "140"), "140% of oil"),
        (("fuel", "16", "10", "--from", "80", "30"), "no room for methanol"),
        (("fuel", "16", "10", "--engine", "rde"), "did you mean 'red'"),
        (("needles", "rde"), "did you mean 'red'"),
        (("needles", "rde", "history"), "did you mean 'red'"),
        (("needles", "red", "set", "low nedle", "3"), "did you mean 'low needle'"),
        (("needles", "red", "set", "trim", "3"), "there is no screw 'trim'"),
        (("needles", "red", "set", "low needle"), "say the HOURS"),
        (("needles", "red", "set", "low needle", "3", "--caliper", "1", "--pitch", "1"), "say the HOURS"),
        (("needles", "red", "set", "low needle", "much"), "'much' is not a number"),
        (("needles", "red", "set", "low needle", "nan"), "can't be"),
        (("needles", "red", "set", "low needle", "73"), "0 to 72 hours (6 turns)"),
        (("needles", "red", "set", "low needle", "3", "--sunk"), "--sunk goes with"),
        (("needles", "red", "set", "low needle", "3", "--pitch", "1"), "--pitch goes with --caliper"),
        (("needles", "red", "set", "low needle", "--caliper", "1"), "--pitch of the thread"),
        (("needles", "red", "set", "low needle", "--caliper", "1", "--pitch", "9"), "9 can't be"),
        (("needles", "red", "set", "low needle", "3", "--air-screw"), "goes with --baseline"),
        (("needles", "red", "set", "mid needle", "3"), "there is no mid needle"),
        (("needles", "red", "good", "--head", "hot"), "--head: 'hot' is not a number"),
        (("needles", "red", "good", "--head", "900C"), "a head temperature lies between"),
        (("needles", "red", "back"), "there is no record to go back to"),
    ],
    ids=lambda part: part if isinstance(part, str) else "",
)
def test_what_cant_be_is_one_clear_line_and_exit_code_2(diagnose: Diagnose, words: tuple[str, ...], said: str) -> None:
    diagnose("engine", "add", "red", "--needles", "2")
    found = diagnose(*words)
    assert (found.code, found.out) == (2, "")
    assert said in found.err
    assert found.err.startswith("diagnose: ")
    assert found.err.count("\n") == 1
    assert "\x1b" not in found.err


def test_the_shell_completes_engines_screws_and_what_can_be_done(
    blue: Diagnose, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def completed(*words: str) -> list[str]:
        monkeypatch.setenv("COMP_WORDS", " ".join(f"'{word}'" if " " in word else word for word in words))
        monkeypatch.setenv("COMP_CWORD", str(len(words) - 1))
        monkeypatch.setenv("_DIAGNOSE_COMPLETE", "bash_complete")
        with pytest.raises(SystemExit):
            guarded(lambda: cli.main([], prog_name="diagnose", complete_var="_DIAGNOSE_COMPLETE"))
        return [row.split(",", 1)[1] for row in capsys.readouterr().out.splitlines()]

    assert completed("diagnose", "needles", "") == [BLUE]
    assert completed("diagnose", "day", "--engine", "b") == [BLUE]
    assert completed("diagnose", "needles", BLUE, "") == ["back", "good", "history", "set", "show"]
    assert completed("diagnose", "needles", BLUE, "set", "l") == ["low needle"]
