"""``diagnose needles``: where the screws stand, are set, go back to, and have been."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from cli.running import Diagnose
from cli.tuned import BLUE, DAY, NEEDLES, closed

from diagnose.reason import events as ev
from diagnose.record.journal import Journal


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
    assert "The day or the fuel is not known." in out
    assert "'diagnose day --save' and 'diagnose fuel --save', and mark the tune again" in out
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
    assert "not known" not in blue(*NEEDLES, "good").out


def test_what_was_counted_is_set_right_and_counts_as_moved(blue: Diagnose) -> None:
    blue(*NEEDLES, "good")
    found = blue(*NEEDLES, "set", "high needle", "34,5", "--reason", "counted it", "--json").json
    assert found["now"] == closed(low_needle=14, high_needle=34.5)
    assert found["last_good"]["settings"] == found["baseline"]["settings"] == closed(low_needle=14, high_needle=36)
    assert (found["moved"], found["drift"]) == ({"high needle": -1.5}, -1.5)
    out = blue(*NEEDLES).out
    assert "High needle: 34.5 hours (2 turns and 10.5 hours) out from gently closed. Last good tune: 36 hours." in out
    assert "High needle: 1.5 hours leaner since the last good tune, or going back." in out


def test_the_first_counts_are_the_baseline_and_later_ones_only_when_asked(diagnose: Diagnose) -> None:
    diagnose("engine", "add", "red")
    assert (
        "No setting is recorded yet. Write down where the screws stand: diagnose needles"
        in diagnose("needles", "red").out
    )
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
    baseline = said if len(words) > 1 else "2 hours"
    assert f"High needle: {said}. Baseline: {baseline}." in diagnose("needles", "red").out


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
    assert "1. Engine off, and cool enough to touch." in out
    assert "Never force it. It should take about 34 hours." in out
    assert blue(*NEEDLES, "--json").json["now"]["high needle"]["hours"] == 34  # nothing was written yet
    done = blue(*NEEDLES, "back", "--done").out
    assert (
        "High needle: 39.5 hours (3 turns and 3.5 hours) out from gently closed. The record is 36 hours (3 turns)"
        in done
    )
    assert "and 3.5 hours to the rich side." in done
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
        "baseline: low needle 14 hours, high needle 36 hours",
        "marked good: plug medium",
    ]
    assert lines[2][18:] == "low needle one hour richer, idle stop half an hour in · revs hang · better"
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
    assert diagnose("needles", "red", "history").out == "nothing yet\n"


def test_an_engine_shows_its_window_and_takes_over_its_own(blue: Diagnose) -> None:
    assert "None is written down yet: it takes three." in blue("engine", "window", BLUE).out
    assert blue("engine", "window", BLUE, "--own").err.startswith("diagnose: None is written down yet")
    for head in ("212F", "102", "226F"):  # a bare number is °C, as on the bench
        blue(*NEEDLES, "good", "--head", head)
    out = blue("engine", "show", BLUE).out
    assert "Window: 82 °C (180 °F) to 104 °C (220 °F)." in out
    assert "Its own heads at good tunes: 100 °C (212 °F) to 108 °C (226 °F)." in out
    assert "Take that one over with: diagnose engine window ENGINE --own" in blue("engine", "window", BLUE).out
    assert "It is 95 °C (203 °F) to 113 °C (235 °F)" in blue("engine", "window", BLUE, "--own").out
    assert blue("engine", "show", BLUE, "--json").json["window"] == [95, 113]
    assert "Take that one over" not in blue("engine", "window", BLUE).out
    assert "82 °C (180 °F) to 104 °C" in blue("engine", "window", BLUE, "--general").out


def test_a_window_that_reaches_the_come_in_temperature_is_refused_in_a_line(blue: Diagnose) -> None:
    found = blue("engine", "window", BLUE, "190F", "255F")
    assert found.code == 2
    assert "must lie below the temperature to come in at (121 °C (250 °F)): choose another window" in found.err
    assert "82 °C (180 °F)" in blue("engine", "window", BLUE).out
    assert "like 190F 230F" in blue("engine", "window", BLUE, "190F").err
    assert "88 °C (190 °F) to 110 °C (230 °F)" in blue("engine", "window", BLUE, "190F", "230F").out
