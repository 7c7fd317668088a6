"""What a club's outings make of the weights, against scipy's Dirichlet; and that nothing learned holds back less."""

from __future__ import annotations

from collections.abc import Callable
from itertools import islice
from random import Random

import numpy as np
import pytest
from amount import amount
from hypothesis import given
from hypothesis import strategies as st
from reason.ended import mended
from scipy.stats import dirichlet, dirichlet_multinomial, multinomial
from shipped import load

from diagnose.graph.model import Variant
from diagnose.reason import events as ev
from diagnose.reason import no_weaker
from diagnose.reason.confirmed import confirmed, counted, together
from diagnose.reason.foretold import gain, helps
from diagnose.reason.learned import STRENGTH, Learned, shares, weighed
from diagnose.reason.play import play, usual
from diagnose.reason.scope import Scope
from diagnose.reason.standing import Standing
from diagnose.reason.view import Step
from diagnose.reason.walk import Walk, begin, replay
from diagnose.workshop.club import mechanical

KNOWLEDGE = load()

weights_and_counts = st.lists(st.tuples(st.floats(0.5, 10), st.integers(0, 40)), min_size=2, max_size=12)


@given(weights_and_counts, st.floats(1, 50))
def test_the_shares_are_the_mean_of_scipys_dirichlet(rows: list[tuple[float, int]], strength: float) -> None:
    weights = {f"f{n}": weight for n, (weight, _) in enumerate(rows)}
    counts = {f"f{n}": many for n, (_, many) in enumerate(rows)}
    prior = strength * np.array([*weights.values()]) / sum(weights.values())
    expected = dirichlet(prior + np.array([*counts.values()])).mean()
    assert [*shares(weights, counts, strength).values()] == pytest.approx(list(expected))


@given(weights_and_counts, st.floats(1, 50))
def test_the_score_is_the_ratio_that_scipy_gives(rows: list[tuple[float, int]], strength: float) -> None:
    weights = {f"f{n}": weight for n, (weight, _) in enumerate(rows)}
    many = np.array([count for _, count in rows])
    share = np.array([*weights.values()]) / sum(weights.values())
    # both have the same number of orders in front, so it falls out of the difference
    learned = dirichlet_multinomial(strength * share, many.sum()).logpmf(many)
    files = multinomial(many.sum(), share).logpmf(many)
    assert gain(weights, {f"f{n}": int(m) for n, m in enumerate(many)}, strength) == pytest.approx(
        learned - files, abs=1e-6 * (1 + abs(files))
    )


def test_the_score_is_that_of_each_outing_foretold_before_it_is_learned_from() -> None:
    weights, strength = {"a": 3.0, "b": 1.0, "c": 1.0}, 5.0
    rng = Random(4)
    ends = rng.choices("abc", (1, 3, 1), k=30)
    scored, seen = 0.0, dict[str, int]()
    for end in ends:
        scored += np.log(shares(weights, seen, strength)[end]) - np.log(shares(weights, {}, strength)[end])
        seen[end] = seen.get(end, 0) + 1
    assert gain(weights, seen, strength) == pytest.approx(scored)


@pytest.mark.parametrize("symptom", KNOWLEDGE.symptoms)
def test_the_first_outing_of_a_symptom_helps_nothing_yet(symptom: str) -> None:
    """It was foretold by the files alone: what rounding makes of that is no gain."""
    able = mechanical(KNOWLEDGE, symptom)
    assert not [fault for fault in able if helps(able, {fault: 1}, STRENGTH)]


def test_the_needles_keep_their_weight_and_the_mechanical_faults_share_what_they_had() -> None:
    weights = {"split-line": 6.0, "clogged-filter": 2.0, "high-needle-lean": 4.0}
    after = weighed(weights, {"split-line", "clogged-filter"}, {"clogged-filter": 10, "high-needle-lean": 99}, 10.0)
    assert after["high-needle-lean"] == 4.0
    assert after["split-line"] + after["clogged-filter"] == pytest.approx(8.0)
    assert after["clogged-filter"] == pytest.approx(8 * (2.5 + 10) / 20)


def test_a_symptom_without_outings_has_the_weights_of_the_files() -> None:
    weights = {"split-line": 6.0, "high-needle-lean": 4.0}
    assert weighed(weights, {"split-line"}, {}, 10.0) == weights


def test_an_outing_counts_once_a_mend_has_cured_it_and_once_when_it_was_opened_again() -> None:
    walk = mended("overheats", "fins-packed")
    end = confirmed(walk)
    assert end is not None
    assert end.symptom == "overheats"
    reopened = walk.plus(walk.reopen(walk.events[-1].at + 1))
    assert confirmed(reopened) is None
    again = reopened.plus(ev.Retested(walk.events[-1].at + 60, "cured"))
    assert counted([confirmed(again), None]) == {"overheats": {end.fault: 1}}


def test_counts_add_up() -> None:
    one, other = {"a": {"x": 2}}, {"a": {"x": 1, "y": 3}, "b": {"z": 1}}
    assert together([one, other]) == {"a": {"x": 3, "y": 3}, "b": {"z": 1}}


def _begun(learned: Learned | None) -> Walk:
    return begin(KNOWLEDGE, ev.Started(0.0, KNOWLEDGE.digest, "overheats", "", Variant(), learned=learned))


def test_a_walk_of_the_journal_is_the_same_whatever_was_learned_since() -> None:
    walk = _begun(Learned({"overheats": {"fins-packed": 30}}))
    stored = [ev.from_json(ev.to_json(event)) for event in walk.events]
    assert replay(KNOWLEDGE, stored).standing.belief == walk.standing.belief
    assert walk.standing.belief["fins-packed"] > 2 * _begun(None).standing.belief["fins-packed"]


def test_another_day_keeps_what_a_walk_began_with() -> None:
    walk = _begun(Learned({"overheats": {"fins-packed": 30}}))
    today = ev.Started(90_000.0, KNOWLEDGE.digest, "overheats", "", Variant())
    after = walk.plus(ev.Happened(90_000.0, "another day", today))
    assert after.standing.belief == walk.standing.belief


def test_what_was_learned_of_faults_that_are_gone_counts_for_nothing() -> None:
    walk = _begun(Learned({"overheats": {"no-such-fault": 30}, "no-such-symptom": {"x": 1}}))
    assert walk.standing.belief == _begun(None).standing.belief


EXTREME = 500
"""Outings that all confirm one fault: no club has as many, and they leave the others hardly any belief."""


def _extreme(symptom: str, fault: str) -> Learned:
    return Learned({symptom: {fault: EXTREME}})


def _pairs() -> list[tuple[str, str]]:
    """Return each symptom with the mechanical fault that has the least weight there, and with the one that has most."""
    pairs = []
    for symptom in KNOWLEDGE.symptoms:
        weights = {f: w for f, w in KNOWLEDGE.explaining(symptom, Variant()).items() if KNOWLEDGE.faults[f].mechanical}
        if len(weights) > 1:
            pairs += [
                (symptom, min(weights, key=weights.__getitem__)),
                (symptom, max(weights, key=weights.__getitem__)),
            ]
    return pairs


PAIRS = Random(7).sample(_pairs(), amount(12, quick=4, long=60))


@pytest.mark.parametrize(("symptom", "fault"), PAIRS)
def test_nothing_learned_takes_a_look_off_or_opens_a_lock(symptom: str, fault: str) -> None:
    assert list(no_weaker.weaker(KNOWLEDGE, _extreme(symptom, fault))) == []


def test_nor_does_it_on_walks_that_are_answered_at_random() -> None:
    scope = Scope(KNOWLEDGE, Variant())
    for number in range(amount(60, quick=15, long=600)):
        rng = Random(f"learned {number}")
        symptom, fault = rng.choice(_pairs())
        started = ev.Started(
            0.0, KNOWLEDGE.digest, symptom, "", Variant(), recorded=True, learned=_extreme(symptom, fault)
        )

        def answer(walk: Walk, step: Step, rng: Random = rng) -> str:
            if step.kind in ("ask", "recheck"):
                check = walk.scope.checks[step.id]
                return rng.choice([check.healthy, check.healthy, check.healthy, *check.answers, ev.CANT_TELL])
            return rng.choice(["same", "better"]) if step.kind == "retest" else usual(step)

        for made in islice(play(begin(KNOWLEDGE, started, scope), answer), 60):
            assert list(no_weaker.let_off(made.walk)) == []


def _learned_alone(standing: Standing) -> list[dict[str, bool]]:
    return [{"drift": standing.state.drift is not None, "story": True, "learned": True}]


def _most_of_what_was_learned(standing: Standing, symptom: str, *, tempered: bool = False) -> dict[str, float]:
    held = standing.held_about(symptom)
    less = standing.tempered(held) if tempered else held
    return {one: max(share, less[one]) for one, share in held.items()}


MUTANTS: dict[str, Callable[[pytest.MonkeyPatch], None]] = {
    "belief of what was learned alone takes looks off": lambda patch: patch.setattr(
        Standing, "_untold", property(_learned_alone)
    ),
    "a doubt ends by what was learned": lambda patch: patch.setattr(Standing, "at_most", _most_of_what_was_learned),
}
"""The ways in which the code could let what was learned weaken a rule. Each must be noticed."""


@pytest.mark.parametrize("way", MUTANTS)
def test_a_change_of_the_code_that_would_let_it_is_noticed(way: str, monkeypatch: pytest.MonkeyPatch) -> None:
    MUTANTS[way](monkeypatch)
    pairs = sorted(_pairs(), key=lambda pair: (pair[0] != "makes-a-noise", pair))  # there a doubt is soon in question
    noticed = (told for symptom, fault in pairs for told in no_weaker.weaker(KNOWLEDGE, _extreme(symptom, fault)))
    assert next(noticed, None) is not None
