"""What drivers' stories found in the shipped knowledge, kept found. Check values: common practice, no source."""

from __future__ import annotations

from shipped import load

KNOWLEDGE = load()


def test_a_gentle_press_clears_a_half_blocked_filter_less_than_one_that_is_all_but_shut() -> None:
    weak = KNOWLEDGE.checks["hold-and-stream"].answers["weak stream"].given
    forms = KNOWLEDGE.faults["fuel-filter-blocked"].forms
    half = {name: forms[name].share for name in ("partly", "passing")}
    seen = sum(share * weak[f"fuel-filter-blocked.{name}"] for name, share in half.items()) / sum(half.values())
    assert seen <= 0.75 < weak["fuel-filter-blocked.shut"]


def test_the_filter_in_the_line_says_nothing_of_the_one_at_the_pick_up() -> None:
    drips = KNOWLEDGE.checks["fuel-filter-through"].answers["drips"].given
    assert drips["fuel-filter-blocked.inside"] <= 0.05 < drips["fuel-filter-blocked.partly"]
    mend = KNOWLEDGE.faults["fuel-filter-blocked"].mend
    assert "pick-up" in " ".join(mend.do)
    assert "tank-lid" in mend.takes_off
    assert "tank-lid" in mend.puts_back


def test_a_barrel_that_the_brake_pulls_past_its_gap_is_not_one_that_is_held_open() -> None:
    pulled = KNOWLEDGE.checks["barrel-at-rest"].answers["not fully open"]
    assert pulled.given["end-points-wrong"] >= 0.8
    assert "barrel-held-open" not in pulled.given
    assert not pulled.grounds


def test_a_line_against_hot_metal_may_be_one_that_leaks_only_when_hot() -> None:
    hot = KNOWLEDGE.checks["along-the-lines"].answers["touches hot metal"].given
    assert {"fuel-froths.boils", "fuel-line-split.soft"} <= hot.keys()
    for cold, answer in (("hold-and-stream", "weak stream"), ("bubbles", "bubbles travel")):
        assert "fuel-line-split.soft" not in KNOWLEDGE.checks[cold].answers[answer].given
    assert "Renew it" in " ".join(KNOWLEDGE.faults["fuel-froths"].mend.do)
