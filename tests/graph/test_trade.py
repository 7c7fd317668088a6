"""What a tuner's reading of the shipped knowledge found, kept found. Check values: common practice, no source."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from shipped import load

from diagnose.graph.model import Variant, fault_of
from diagnose.graph.say import say
from diagnose.reason.belief import prior

KNOWLEDGE = load()
FOLDER = Path(__file__).parents[2] / "knowledge"


def test_no_number_is_both_a_custom_of_the_trade_and_one_persons_judgement() -> None:
    for name, fact in KNOWLEDGE.facts.items():
        note = fact.note or ""
        assert "one tuner" not in note, f"{name}: the provenance says that"
        assert "guides" not in note, f"{name}: which guides?"
        assert (fact.provenance == "published") == (fact.source is not None), name


@pytest.mark.parametrize(
    ("symptom", "fault", "share"),
    [
        ("overheats", "high-needle-lean", 0.35),
        ("cuts-on-the-straight", "high-needle-lean", 0.40),
        ("revs-hang", "low-needle-lean", 0.35),
    ],
)
def test_what_dominates_a_symptom_is_not_drowned_by_the_number_of_other_causes(
    symptom: str, fault: str, share: float
) -> None:
    assert prior(KNOWLEDGE.explaining(symptom, Variant()))[fault] == pytest.approx(share, abs=0.04)


@pytest.mark.parametrize(
    ("check", "fault"),
    [
        ("fuel-reaches-carburettor", "fuel-filter-blocked.partly"),  # half blocked it lets enough through for a start
        ("turns-freely", "something-jams.wheel"),  # a loose flywheel turns
        ("tight-at-the-top", "something-jams.wheel"),
        ("plug-out-versus-in", "something-jams.wheel"),
        ("bubbles", "fuel-line-split.kinked"),  # a kink makes no bubbles
        ("pinch-at-idle", "low-needle-rich"),  # many a sound engine climbs for longer
    ],
)
def test_a_healthy_look_does_not_clear_what_it_cannot_see_in_every_form(check: str, fault: str) -> None:
    assert fault not in KNOWLEDGE.shown_by(KNOWLEDGE.checks[check])


@pytest.mark.parametrize(
    ("fault", "check", "answer"),
    [
        ("igniter-off-too-soon", "igniter-time", "too soon"),
        ("cord-broken", "pull-and-watch", "no cord to pull"),
        ("lid-not-shut", "hold-and-stream", "lid was open"),
        ("receiver-signal-poor", "aerial-and-receiver", "something amiss"),
        ("two-speed-off", "second-gear", "early or late"),
        ("seized-inside", "turned-by-hand-bare", "stuck"),
        ("after-run-oil-left", "plug-out", "oily"),
        ("air-filter-wet", "filter-by-eye", "wet"),
        ("pipe-wrong", "pipe-as-named", "another"),
    ],
)
def test_what_was_missing_has_a_quick_look_an_answer_and_a_place_at_the_practice_bench(
    fault: str, check: str, answer: str
) -> None:
    look = KNOWLEDGE.checks[check]
    assert look.look == "first"
    assert fault in map(fault_of, KNOWLEDGE.shown_by(look))
    assert fault in look.answers[answer].names
    assert {fault} <= KNOWLEDGE.simulated_faults.keys()
    assert {check} <= KNOWLEDGE.simulated_checks.keys()


def test_a_lost_signal_can_look_like_an_engine_that_cuts() -> None:
    assert {"cuts-on-the-straight", "stops-at-random"} <= KNOWLEDGE.faults["receiver-signal-poor"].explains.keys()


def test_the_idle_stop_is_set_to_the_engines_own_gap_first() -> None:
    for fault in ("idle-stop-open", "idle-stop-shut"):
        written = " ".join(KNOWLEDGE.faults[fault].mend.do)
        assert "0.7 mm just slides through" in say(written, KNOWLEDGE, Variant(own={"idle-gap": 0.7}))
        own, usual = written.index("the engine's own gap, which you wrote down"), written.index("Without one")
        assert own < usual


def test_nobody_spins_a_bell_that_is_in_mesh_nor_pulls_a_brake() -> None:
    for check in ("bell-spins", "wiggle-and-roll"):
        said = " ".join(KNOWLEDGE.checks[check].how).lower()
        assert "flywheel must stand still" in said or "it must stand still" in said
        assert "with a finger" not in said
    assert "Push the trigger" in " ".join(KNOWLEDGE.checks["brake-holds"].how)


ODD = (
    "nothing had been",
    "like always",
    "as always",
    "smokes? much",
    "swims? in oil",
    "swim in it",
    "dear tomorrow",
    "in a fright",
    "the way free",
    "way free",
    "leave it off",
    "sure is no look",
    "come to its heat",
    "lives, and not for long",
    "is it cured with",
    "the tank froths",
    "drive held by hand",
    "turn on\\.",
    "was open$",
    "counter-clockwise",
    "pull(ed)? (the |full )?brake",
    "lean(s|ing)? on (its|the) (idle )?stop",
    "squeez(e|ed|ing) the (fuel )?line",
    "set anew",
    "gr[oe]w(s|n)? (cold|slow)\\b",
    "(look|listen|try) whether",
    "four eyes",
    "to its heat",
    "at heat",
    "some times",
    "goes? (before (this|these)|first\\.)",
    "trail of smoke",
    "windows? of the sleeve",
    "fire (going|is weak)",
    "and much smoke as",
    "haemostat",
)


def test_no_text_of_the_knowledge_is_odd_english_that_was_found_once() -> None:
    odd = re.compile("|".join(rf"\b(?:{one})" for one in ODD), re.IGNORECASE | re.MULTILINE)
    for path in FOLDER.rglob("*.yaml"):
        text = path.read_text("utf-8")
        found = odd.search(re.sub(r"\n +", " ", text)) or odd.search(text)
        assert found is None, f"{path.name}: {found and found[0]}"
