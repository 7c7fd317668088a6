"""What the shipped texts say of fumes, fuel, batteries, hands and what nobody can promise."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

import pytest
from msgspec.structs import replace
from shipped import load

from diagnose.graph.model import RUNNING, Knowledge
from diagnose.graph.prove import prove
from diagnose.graph.texts import texts


@cache
def known() -> Knowledge:
    return load()


def said() -> Iterator[tuple[str, str]]:
    """Yield every text with where it stands."""
    return ((" ".join(path), text) for path, text in texts(known()))


def running() -> dict[str, tuple[str, ...]]:
    """Return the cautions of everything that is done while the engine runs."""
    done = {
        **{name: (check.state, check.cautions) for name, check in known().checks.items()},
        **{name: (fault.mend.state, fault.mend.cautions) for name, fault in known().faults.items()},
        **{name: (step.state, step.cautions) for name, step in known().preparations.items()},
        **{name: (one.retest.state, one.retest.cautions) for name, one in known().symptoms.items()},
    }
    return {name: cautions for name, (state, cautions) in done.items() if state in RUNNING}


def test_whatever_runs_the_engine_warns_of_the_fumes_and_of_the_fuel() -> None:
    assert len(running()) > 40
    assert [name for name, cautions in running().items() if not {"fumes", "fuel-is-poison"} <= {*cautions}] == []


@pytest.mark.parametrize("caution", ["fumes", "fuel-is-poison"])
def test_the_proof_asks_for_the_fumes_and_the_fuel_wherever_the_engine_runs(caution: str) -> None:
    check = known().checks["igniter-back-on"]
    without = replace(check, cautions=tuple(name for name in check.cautions if name != caution))
    found = prove(replace(known(), checks={**known().checks, "igniter-back-on": without}), {})
    assert [(one.rule, f"'{caution}'" in one.what) for one in found] == [("caution-missing", True)]


@pytest.mark.parametrize(
    ("caution", "words"),
    [
        ("fumes", ["dizzy", "sick", "headache", "engine off", "fresh air", "emergency number", "do not go back in"]),
        ("battery-fire", ["do not touch", "fire service", "outdoors", "bare ground", "stop using or charging"]),
        ("fuel-on-the-skin", ["flames", "clothes", "off at once", "plenty of water", "through the skin"]),
        (
            "run-away",
            ["people away first", "pad of rag", "outlet", "air filter", "neither makes it lean", "long pliers"],
        ),
    ],
)
def test_the_page_for_trouble_says_what_to_do_now(caution: str, words: list[str]) -> None:
    whole = known().cautions[caution]
    now = " ".join((*whole.now, whole.say)).casefold()
    assert whole.now
    assert [word for word in words if word not in now] == []


def test_no_digit_is_too_small_for_the_page_for_trouble() -> None:
    assert sum(bool(caution.now) for caution in known().cautions.values()) <= 9


def test_exhaust_is_met_outdoors_and_never_in_a_garage_with_open_doors() -> None:
    assert "not even with the doors open" in known().cautions["fumes"].say
    assert [where for where, text in said() if "doors open" in text and "not even" not in text] == []


BAD = {
    "a hand by what spins": r"(keep|have) a hand ready|with a hand on",
    "a rich that nobody knows": r", on the rich side|rich enough to start",
    "another blend is the same": r"points of nitro more or less is the same",
    "the flat of the flywheel": r"flat of the flywheel",
}


@pytest.mark.parametrize("what", BAD)
def test_no_text_says(what: str) -> None:
    assert [where for where, text in said() if re.search(BAD[what], text, re.IGNORECASE)] == []


def test_no_count_of_turns_is_given_as_a_start_but_the_makers() -> None:
    assert [where for where, text in said() if "<turns-" in text] == []


def test_a_pack_is_looked_at_wherever_it_is_charged_or_used() -> None:
    charged = [
        (name, f"{fault.mend.stop_when}")
        for name, fault in known().faults.items()
        if {"charger", "charged battery", "transmitter's battery"} & {*fault.mend.tools, *fault.mend.parts}
    ]
    assert len(charged) >= 5
    for name, stop in charged:
        assert "swollen, hot or damaged" in stop.replace("\n", " "), name
        assert "outdoors, on bare ground" in stop, name
        assert "battery-fire" in known().faults[name].mend.cautions
    assert "swollen" in " ".join(known().checks["battery-under-load"].how)


def test_the_line_on_adults_stands_wherever_the_young_can_be_hurt() -> None:
    for name in ("spinning-parts", "fuel-is-poison", "lit-coil", "battery-fire", "invisible-fire"):
        caution = known().cautions[name]
        assert "adult" in " ".join((caution.say, *caution.now)), name
    assert "children and onlookers" in known().cautions["run-away"].say
    assert "children" in known().cautions["fuel-is-poison"].say


def test_local_rules_go_first_on_noise_places_and_fuel() -> None:
    assert "Local rules say where, when and how loud" in known().cautions["fumes"].say.replace("\n", " ")
    assert "as the local rules say" in known().cautions["fuel-is-poison"].say


def test_no_head_is_warmed_while_a_rag_or_fuel_is_at_it() -> None:
    how = " ".join(known().checks["tight-at-the-top"].how)
    assert how.index("Take the rag away") < how.index("warm the head")
    assert "If any fuel is in the engine, do not warm it" in how
    for where, text in said():
        if "warm" in text and "<preheat>" in text and "tight-at-the-top" not in where:
            assert "fuel" in text, where


def test_what_can_run_away_opens_with_how_it_is_stopped() -> None:
    for name, symptom in known().symptoms.items():
        if symptom.runs_away:
            urgent = next((one for one in symptom.cautions if known().cautions[one].now), "")
            assert urgent == "run-away", name
