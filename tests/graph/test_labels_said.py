"""The labels of the shipped steps, held against what their texts do, beyond the words that the proof looks for."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from diagnose.graph.done import Deed, everything
from diagnose.graph.load import load

KNOWLEDGE = load()
STEPS = {done.path: done for done in everything(KNOWLEDGE)}
FILLS = re.compile(
    r"\bfill (?:the tank|it to half|with (?:fresh )?fuel|with the right blend|a little fuel)|\bdrain the tank"
    r"|\bdraw (?:the tank|the fuel)\b",
    re.IGNORECASE,
)
COVERS = re.compile(r"\bcover the (?:carburettor|engine)\b", re.IGNORECASE)
HELD = re.compile(r"\b(?:stick|pad)\b[^.]*\bflywheel\b", re.IGNORECASE)

OPENED: dict[tuple[str, ...], tuple[str, ...]] = {
    ("faults", "tank-overfilled", "mend"): ("pressure-line", "tank-lid", "plug"),
    ("faults", "tank-cracked", "mend"): ("tank", "tank-lid", "fuel-line", "pressure-line"),
    ("checks", "hold-and-stream"): ("tank-lid",),
    ("checks", "pick-up-tilt"): ("tank-lid",),
    ("checks", "fresh-fuel"): ("tank-lid", "fuel-line"),
    ("faults", "fuel-old", "mend"): ("tank-lid", "fuel-line"),
    ("faults", "gummed-with-old-oil", "mend"): ("plug", "air-filter", "tank-lid"),
    ("faults", "gear-teeth-stripped", "mend"): ("gears", "engine-mount"),
    ("faults", "driveline-binds", "mend"): ("gears", "engine-mount"),
}
"""What these open, and close again."""

LEFT: dict[tuple[str, ...], set[str]] = {
    ("faults", "front-bearing-leaks", "mend"): {"carburettor", "pipe", "fuel-line", "pressure-line", "plug", "head",
                                                "engine-mount", "throttle-rod"},
    ("faults", "main-bearings-worn", "mend"): {"carburettor", "pipe", "plug", "engine-mount", "throttle-rod"},
    ("faults", "rod-worn", "mend"): {"plug"},
    ("faults", "piston-worn", "mend"): {"head", "backplate", "plug"},
    ("faults", "something-jams", "mend"): {"clutch-bell", "engine-mount"},
    ("faults", "servo-faulty", "mend"): {"radio-battery"},
    ("faults", "receiver-signal-poor", "mend"): {"radio-battery"},
    ("faults", "radio-battery-weak", "mend"): {"radio-battery"},
}  # fmt: skip
"""What these leave open, to be listed at closing up."""


def saying(pattern: re.Pattern[str]) -> Iterator[Deed]:
    found = [done for done in STEPS.values() if any(pattern.search(text) for text in done.text)]
    assert found
    yield from found


def test_what_fills_or_empties_the_tank_opens_its_lid() -> None:
    for done in saying(FILLS):
        assert "tank-lid" in done.work.takes_off, done.path


def test_a_rag_over_the_carburettor_is_remembered() -> None:
    for done in saying(COVERS):
        assert "cover-rag" in done.work.takes_off, done.path


@pytest.mark.parametrize("path", list(OPENED))
def test_a_step_closes_what_its_text_closes(path: tuple[str, ...]) -> None:
    work = STEPS[path].work
    assert set(OPENED[path]) <= set(work.takes_off) & set(work.puts_back)


@pytest.mark.parametrize("path", list(LEFT))
def test_a_step_leaves_to_the_closing_up_what_its_text_does_not_put_back(path: tuple[str, ...]) -> None:
    assert LEFT[path] <= set(STEPS[path].work.open_after(()))


@pytest.mark.parametrize("name", ["turns-freely", "one-squeeze", "warm-squeeze"])
def test_a_squeeze_is_felt_with_the_plug_fitted_first(name: str) -> None:
    assert any("Fit the plug and snug it, if it is out." in text for text in KNOWLEDGE.checks[name].how)


def test_the_starter_is_tried_by_hand_only_once_all_is_closed() -> None:
    assert STEPS["faults", "electric-start-weak", "mend"].work.puts_back == ()


def test_nothing_is_held_against_a_flywheel() -> None:
    assert [done.path for done in STEPS.values() if any(HELD.search(text) for text in done.text)] == []
    assert "padded stick" not in KNOWLEDGE.words


def test_it_is_stopped_with_a_pad_and_then_with_the_pliers_in_the_re_test() -> None:
    said = " ".join(KNOWLEDGE.symptoms["will-not-stop"].retest.do)
    assert said.index("press the pad over the outlet") < said.index("pinch the line with the pliers")


def test_a_swollen_battery_grounds_the_car_and_is_never_charged() -> None:
    swollen = KNOWLEDGE.checks["battery-under-load"].answers["swollen"]
    assert swollen.grounds == "the radio's battery is not safe"
    do = KNOWLEDGE.faults["radio-battery-weak"].mend.do
    warned = next(place for place, text in enumerate(do) if "swollen, hot or damaged is never charged" in text)
    assert warned < next(place for place, text in enumerate(do) if text.startswith("Charge it"))


def test_the_guards_look_at_what_hangs_on_these() -> None:
    guarded = {name for name, opening in KNOWLEDGE.openings.items() if opening.guarded}
    assert guarded == {"carburettor", "throttle-rod", "brake-rod", "radio-battery", "engine-mount"}


@pytest.mark.parametrize("name", ["cover-rag", "what-was-opened", "what-a-crash-loosened"])
def test_the_openings_that_no_text_names_are_there(name: str) -> None:
    assert KNOWLEDGE.openings[name].close
