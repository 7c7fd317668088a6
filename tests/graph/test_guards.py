"""Which mends make the guards owed again, and the proof that they say so."""

from __future__ import annotations

import pytest
from graph.small import SMALL, broken, edited, fault, look, screw, small
from msgspec.structs import replace

from diagnose.graph import guards
from diagnose.graph.load import load
from diagnose.graph.model import Knowledge
from diagnose.graph.routes import prepared

CARBURETTOR = {"carburettor": {"say": "It mixes.", "also": ["carb"], "guarded": True}}


def mends(step: str, **more: object) -> Knowledge:
    """Return the small knowledge with a mend of one step that touches nothing."""
    mend = {"do": [step], "minutes": 1, **more}
    return small(faults={"filter-torn": fault("air", mend=mend)}, words=CARBURETTOR)


@pytest.mark.parametrize(
    "step",
    [
        "Loosen the bolt and lift the carburettor out.",
        "Fit the carb again.",
        "Renew the whole carburettor.",
        "With the carburettor off, blow through it.",
        "Clean it once the carburettor is out.",
    ],
)
def test_a_mend_that_takes_off_what_the_throttle_hangs_on_is_seen_by_its_words(step: str) -> None:
    (told,) = broken(mends(step), "guards-again")
    assert "it must touch what the guards look at: 'linkage'" in told
    assert broken(mends(step, touches=["linkage"]), "guards-again") == []


@pytest.mark.parametrize(
    "step",
    [
        "Cover the carburettor with a rag.",
        "Take the filter off and cover the carburettor.",
        "Fit a filter to the carburettor's mouth.",
        "Prime until the fuel reaches the carburettor.",
        "Take the lid off.",
    ],
)
def test_a_mend_that_works_beside_it_is_left_alone(step: str) -> None:
    assert broken(mends(step), "guards-again") == []


def test_a_part_is_watched_only_when_its_word_says_so() -> None:
    plain = small(known=mends("Lift the carburettor out."), words={"carburettor": {"say": "It mixes."}})
    assert broken(plain, "guards-again") == []


def test_a_mend_made_with_the_engine_open_and_one_that_names_a_guard_are_seen_too() -> None:
    assert "takes the engine apart" in broken(mends("Wipe it.", state="stripped"), "guards-again")[0]
    named = small(known=mends("Wipe it.", recheck="Then look at Rest again."), checks={"rest": REST, "barrel": None})
    assert "speaks of the guard 'rest'" in broken(named, "guards-again")[0]


REST = look({"held-open": 0.9}, guard="barrel", bad={"grounds": "the throttle does not shut"}) | {
    "name": "rest",
    "good for": "outing",
}


def test_a_screw_that_a_guard_shows_is_seen_and_one_that_is_only_turned_is_not() -> None:
    barrel = look({"held-open": 0.9, "stop-shut": 0.9, "low-rich": 0.9}, guard="barrel") | {"good for": "outing"}
    known = small(faults={"stop-shut": screw("idle stop", "shut")}, checks={"barrel": barrel})
    told = broken(known, "guards-again")
    assert len(told) == 1
    assert "the mend of 'stop-shut'" in told[0]


def test_the_areas_that_the_guards_look_at_are_those_of_what_they_can_show() -> None:
    assert SMALL.guarded_areas() == {"linkage"}
    faint = small(checks={"barrel": look({"held-open": 0.9, "filter-torn": 0.3}, guard="barrel")})
    assert faint.guarded_areas() == {"linkage"}
    elsewhere = small(faults={"no-fail-safe": fault("receiver", explains={})})
    assert elsewhere.guarded_areas() == {"linkage", "receiver"}
    assert edited("checks", "barrel", guard=None).guarded_areas() == {"linkage"}


SEEN = (
    *("carburettor-base-leak", "needle-seal-leak", "needle-damaged", "brake-drags", "brake-does-not-bite"),
    *("front-bearing-leaks", "rod-worn", "piston-worn", "head-shims-wrong", "servo-faulty", "idle-stop-open"),
)


def test_a_shipped_mend_that_forgets_what_it_touches_is_refused() -> None:
    known = load(prove=lambda *_: [])
    proof = prepared(known, {})._replace(routes=[])
    for name in SEEN:
        one = known.faults[name]
        assert "linkage" in one.mend.touches
        mend = replace(one.mend, touches=tuple(area for area in one.mend.touches if area != "linkage"))
        forgets = replace(known, faults={**known.faults, name: replace(one, mend=mend)})
        told = [problem.what for problem in guards.problems(proof._replace(knowledge=forgets))]
        assert len(told) == 1, (name, told)
        assert told[0].startswith(f"the mend of '{name}' ")
