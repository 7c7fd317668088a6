"""The drift is an answer that nobody gave: it moves the belief, is told, opens no gate, and may be retired."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from little import FAULTS, SOUND, answer, knowledge, start

from diagnose.reason import events as ev
from diagnose.reason.explain import why
from diagnose.reason.walk import Walk

AREAS = ("ignition", "tank")
SPEAKS = ev.Drift("over an hour", "2 hours are not explained", 0.30, 0.10, 0.10, "", AREAS)
QUIET = ev.Drift("explained", "it has not drifted", 0.40, 0.42, 0.77, "", AREAS)
LEAN = ev.Drift("not followed", "the needle stands lean of the day", 0.10, 0.45, 0.10, "lean", AREAS)


def belief(drift: ev.Drift | None, **answers: str) -> dict[str, float]:
    return answer(start(drift=drift), **answers).standing.belief


def by_hand(chances: dict[str, float], otherwise: float) -> dict[str, float]:
    """Return the belief from the weights alone, with one likelihood multiplied in."""
    weights = {name: fault["explains"]["loads-up"] for name, fault in FAULTS.items() if fault["explains"]}
    total = sum(weights.values())
    masses = {name: 0.95 * weight / total for name, weight in weights.items()} | {"not listed": 0.05}
    masses = {name: mass * chances.get(name, otherwise) for name, mass in masses.items()}
    return {name: mass / sum(masses.values()) for name, mass in masses.items()}


MECHANICAL = ("line-off", "lid-leaks", "plug-tired")


@pytest.mark.parametrize(
    ("drift", "chances"),
    [
        (SPEAKS, dict.fromkeys(MECHANICAL, 0.30)),
        (QUIET, dict.fromkeys(MECHANICAL, 0.40) | {"low-rich": 0.42, "low-lean": 0.42}),
        (LEAN, {"low-lean": 0.45}),
    ],
)
def test_the_belief_is_the_weights_times_the_drift(drift: ev.Drift, chances: dict[str, float]) -> None:
    assert belief(drift) == pytest.approx(by_hand(chances, drift.otherwise))


def test_an_answer_and_the_drift_multiply() -> None:
    with_both, alone = belief(SPEAKS, hold="bleeds"), belief(None, hold="bleeds")
    masses = {name: share * (0.30 if name in MECHANICAL else 0.10) for name, share in alone.items()}
    assert with_both == pytest.approx({name: mass / sum(masses.values()) for name, mass in masses.items()})


def test_an_unexplained_drift_raises_the_faults_of_its_areas_and_no_drift_changes_nothing() -> None:
    assert belief(SPEAKS)["plug-tired"] > belief(None)["plug-tired"]
    assert belief(SPEAKS)["low-rich"] < belief(None)["low-rich"]
    assert belief(LEAN)["low-lean"] > belief(None)["low-lean"]
    assert belief(LEAN)["low-rich"] < belief(None)["low-rich"]


@pytest.mark.parametrize("drift", [SPEAKS, QUIET, LEAN])
def test_a_drift_is_no_look_and_opens_no_gate(drift: ev.Drift) -> None:
    with_it, without = start(drift=drift), start()
    assert with_it.standing.first_looked == without.standing.first_looked == frozenset()
    assert with_it.standing.first_owed == without.standing.first_owed
    assert with_it.standing.signs == without.standing.signs
    assert with_it.standing.accused == {}
    assert {lock.rule for lock in with_it.view(0).locks} == {lock.rule for lock in without.view(0).locks}


def test_no_drift_takes_a_strip_down_off_what_is_owed() -> None:
    """The dirt is believed just enough for a strip-down; a drift that speaks for other areas must not change that."""
    faults = {**FAULTS, "dirt": {**FAULTS["dirt"], "explains": {"loads-up": 0.7}}}
    known = knowledge(faults=faults)
    alone = start(known)
    assert 0.02 < alone.standing.belief["dirt"] < 0.05
    drifted = start(known, drift=ev.Drift("over two hours", "", 0.20, 0.03, 0.03, "", AREAS))
    assert drifted.standing.belief["dirt"] < 0.02
    assert drifted.standing.strips_owed("loads-up") == alone.standing.strips_owed("loads-up") == {"dirt"}


@given(st.sampled_from([SPEAKS, QUIET, LEAN, None]), st.dictionaries(st.sampled_from(list(SOUND)), st.booleans()))
def test_a_drift_never_shortens_what_is_owed(drift: ev.Drift | None, looked: dict[str, bool]) -> None:
    given_answers = {check: SOUND[check] if fine else "can't tell" for check, fine in looked.items()}
    alone, drifted = answer(start(), **given_answers), answer(start(drift=drift), **given_answers)
    assert drifted.standing.first_owed == alone.standing.first_owed
    assert drifted.standing.strips_owed("loads-up") >= alone.standing.strips_owed("loads-up")


def test_the_trail_tells_of_the_drift_in_one_line_that_no_key_takes_back() -> None:
    walk = answer(start(drift=SPEAKS), barrel="fine")
    lines = walk.view(0).trail
    assert [(line.what, line.mark, line.can_take_back) for line in lines] == [
        ("2 hours are not explained", "·", False),
        ("barrel", "ok", True),
    ]
    assert walk.take_back(0) == ev.Retracted(0, 1)
    assert start().view(0).trail == ()


def test_why_mentions_the_drift_while_it_counts() -> None:
    assert (
        "The belief counts the drift as well: 2 hours are not explained." in why(start(drift=SPEAKS), "hold").sentence
    )
    assert "drift" not in why(start(), "hold").sentence
    assert "drift" not in why(mended(SPEAKS, "plug-tired"), "hold").sentence


def mended(drift: ev.Drift, fault: str) -> Walk:
    return start(drift=drift).plus(ev.Mended(1.0, fault))


def test_a_mend_of_what_it_speaks_for_retires_it_and_another_does_not() -> None:
    assert mended(SPEAKS, "plug-tired").state.drift is None
    assert mended(SPEAKS, "froth").state.drift == SPEAKS
    assert mended(QUIET, "plug-tired").state.drift == QUIET


def test_a_needle_that_was_set_is_not_where_the_drift_found_it() -> None:
    assert start(drift=LEAN).plus(ev.Restored(1.0)).state.drift is None
    assert start(drift=SPEAKS).plus(ev.Restored(1.0)).state.drift == SPEAKS  # why it was turned is still not known


def test_a_drift_survives_the_journal() -> None:
    walk = start(drift=SPEAKS)
    assert ev.from_json(ev.to_json(walk.started)) == walk.started
