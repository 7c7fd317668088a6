"""The well card: the engine's own bands, and no band from an engine that does not run well."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shipped import load

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Answer, Check, Fact, Knowledge, Reading, Variant
from diagnose.tune.air import Air
from diagnose.tune.fuel import Blend
from diagnose.tune.mixture import Conditions
from diagnose.tune.needles import closed
from diagnose.tune.well import (
    POSSIBLE,
    SOUND,
    Card,
    WellMeasure,
    compared,
    doubts,
    edges_of,
    own,
    read_by,
    squeezed,
    then_and_now,
    when_good,
)

GOOD = Card(
    0.0,
    idle_gap=0.9,
    pinch=3,
    idle_hold=20,
    tank_run=480,
    squeeze="firm",
    settings={"high needle": closed(36)},
    conditions=Conditions(Air(22, 100_400, 0.55), Blend(0.16, 0.10), 105),
)
SAFETY = {"head-floor", "head-ceiling", "head-stop", "head-come-in"}
SHIPPED = Path(__file__).parents[2] / "knowledge" / "facts.yaml"


def reading(measure: WellMeasure) -> st.SearchStrategy[float | None]:
    return st.none() | st.floats(*POSSIBLE[measure])


CARDS = st.builds(
    Card,
    st.just(0.0),
    reading("idle gap"),
    reading("pinch"),
    reading("idle hold"),
    reading("tank run"),
    conditions=st.builds(Conditions, head=reading("head")),
)


def test_the_bands_become_the_engines_own() -> None:
    assert own(GOOD) == {
        "idle-gap": 0.9,
        "idle-gap-least": 0.6,
        "idle-gap-most": 1.2,
        "pinch-least": 1.5,
        "pinch-most": 6,
        "idle-hold-least": 10,
        "head-usual-least": 90,
        "head-usual-most": 120,
        "tank-run-least": 384,
        "tank-run-most": 600,
    }
    assert doubts(GOOD) == ()


def test_a_reading_is_judged_by_the_engines_own_bands() -> None:
    """The general pinch is one to three seconds; this engine took two when it ran well, so 3.5 is healthy for it."""
    facts = {
        name: Fact(unit="s", provenance="common practice, no source", value=value)
        for name, value in (("pinch-least", 1.0), ("pinch-most", 3.0))
    }
    check = Check(
        name="pinch",
        ask="?",
        how=("?",),
        why="?",
        minutes=1,
        state="warm",
        look="first",
        good_for="start",
        reading=Reading("s", 0, 60),
        answers={
            "at once": Answer(say="at once", up_to="pinch-least", otherwise=0.05),
            "short": Answer(say="short", healthy=True, up_to="pinch-most"),
            "long": Answer(say="long", otherwise=0.05),
        },
    )
    known = Knowledge(facts=facts)
    mine = Variant(own=own(Card(0.0, pinch=2)))
    assert [known.band(check, seconds, Variant()) for seconds in (0.9, 2, 3.5)] == ["at once", "short", "long"]
    assert [known.band(check, seconds, mine) for seconds in (0.9, 2, 3.5, 4.5)] == ["at once", "short", "short", "long"]


def test_the_edges_of_the_idle_gap_are_facts_of_the_knowledge() -> None:
    ids = SHIPPED.read_text("utf-8").splitlines()
    assert {f"{name}:" for name in own(Card(0.0, idle_gap=1))} <= set(ids)


def test_what_was_not_noted_keeps_the_general_figures() -> None:
    assert own(Card(0.0)) == {}
    assert own(Card(0.0, squeeze="soft")) == {}


@pytest.mark.parametrize(
    ("card", "said"),
    [
        (Card(0.0, idle_gap=3), "Idle gap: A gap of 0.3 to 2 mm is usual."),
        (Card(0.0, pinch=0.3), "Pinch: It should climb for a second at least"),
        (Card(0.0, idle_hold=2), "Idle hold: It should hold an idle"),
        (Card(0.0, conditions=Conditions(head=140)), "Head: A head of 82 to 132 °C (180 to 270 °F)"),
        (Card(0.0, tank_run=30), "Tank run: A tank lasts"),
    ],
)
def test_what_no_engine_running_well_shows_makes_no_band_and_is_said(card: Card, said: str) -> None:
    assert own(card) == {}
    (line,) = doubts(card)
    assert line.startswith(said)
    assert line.endswith("This card keeps the general figures for it.")


def test_no_card_lifts_the_head_past_its_stop_or_takes_away_the_sign_of_lean() -> None:
    assert own(Card(0.0, conditions=Conditions(head=128)))["head-usual-most"] == 132.22  # 270 °F
    assert own(Card(0.0, pinch=1))["pinch-least"] == 0.5


@given(CARDS)
def test_bands_hold_what_the_card_says_and_never_touch_the_safety_of_the_head(card: Card) -> None:
    found = own(card)
    assert not SAFETY & found.keys()
    for measure in SOUND:
        fact = edges_of(measure)
        value = card.value(measure)
        if f"{fact}-least" in found:
            assert value is not None
            most = found.get(f"{fact}-most", math.inf)
            assert found[f"{fact}-least"] - 0.01 <= value <= most + 0.01
            assert found[f"{fact}-least"] < most
        else:
            assert value is None or not SOUND[measure][0] <= value <= SOUND[measure][1]
    assert found.get("pinch-least", 1) >= 0.5  # dying at once stays a sign of lean, whatever the card says
    assert found.get("head-usual-most", 0) <= 132.3  # 270 °F
    assert found.get("idle-gap-most", 0) <= 2.3
    noted = [measure for measure in SOUND if card.value(measure) is not None]
    assert len(doubts(card)) == len([measure for measure in noted if f"{edges_of(measure)}-least" not in found])


@pytest.mark.parametrize("measure", ["pinch", "tank run", "idle gap"])
def test_a_larger_reading_never_has_smaller_bands(measure: WellMeasure) -> None:
    low, high, _ = SOUND[measure]
    values = [low + (high - low) * step / 50 for step in range(51)]
    field = measure.replace(" ", "_")
    bands = [own(msgspec.structs.replace(Card(0.0), **{field: value})) for value in values]
    for one, two in pairwise(bands):
        assert all(two[fact] >= edge for fact, edge in one.items())


@pytest.mark.parametrize("nonsense", [math.nan, math.inf, -1.0, 1e6])
def test_a_reading_that_can_not_be_is_refused(nonsense: float) -> None:
    for field in ("idle_gap", "pinch", "idle_hold", "tank_run"):
        with pytest.raises(DiagnoseError, match="can't be"):
            msgspec.structs.replace(Card(0.0), **{field: nonsense})
    with pytest.raises(DiagnoseError, match="can't be"):
        compared(GOOD, "pinch", nonsense)


@pytest.mark.parametrize(
    ("measure", "now", "said"),
    [
        ("pinch", 7, "3 seconds when it ran well, 7 now"),
        ("idle gap", 1.6, "0.9 mm when it ran well, 1.6 now"),
        ("head", 95, "105 °C (221 °F) when it ran well, 95 °C (203 °F) now"),
        ("tank run", 390, "8 minutes when it ran well, 6.5 now"),
        ("tank run", 90, "480 seconds when it ran well, 90 now"),
    ],
)
def test_a_reading_is_told_beside_the_card(measure: WellMeasure, now: float, said: str) -> None:
    assert compared(GOOD, measure, now) == said


def test_the_sentences_mind_one_second_and_an_empty_card() -> None:
    assert then_and_now(1, 2.25, "s") == "1 second when it ran well, 2.2 now"
    assert squeezed(GOOD, "soft") == "firm when it ran well, soft now"
    assert compared(Card(0.0), "pinch", 7) == ""
    assert squeezed(Card(0.0), "soft") == ""


def test_a_card_survives_being_written_down() -> None:
    assert msgspec.json.decode(msgspec.json.encode(GOOD), type=Card) == GOOD


def test_a_check_reads_what_its_bands_end_at() -> None:
    checks = load().checks
    assert {name: read_by(check) for name, check in checks.items() if read_by(check)} == {
        "idle-gap": "idle gap",
        "pinch-at-idle": "pinch",
    }
    assert when_good(GOOD, checks) == {"idle-gap": 0.9, "pinch-at-idle": 3}
    assert when_good(Card(0.0, idle_gap=3), checks) == {}  # no engine that runs well shows that


def test_the_idle_stop_goes_to_the_gap_of_the_card_and_a_gap_that_no_sound_engine_has_is_not_taken() -> None:
    assert own(Card(1.0, idle_gap=0.7))["idle-gap"] == 0.7
    assert "idle-gap" not in own(Card(1.0, idle_gap=5.0))
    assert "idle-gap" not in own(Card(1.0, pinch=3.0))
