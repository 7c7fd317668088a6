"""A little knowledge for tests of the reasoning: one running symptom, eight faults, seven checks."""

from __future__ import annotations

from typing import Any

import msgspec

from diagnose.graph.model import Knowledge, Variant
from diagnose.graph.wording import celsius
from diagnose.reason import events as ev
from diagnose.reason.view import Step
from diagnose.reason.walk import Walk, begin

MIND = {"idle stop": {"way": "out", "hours": 1}}


def check(state: str, minutes: float, answers: dict[str, dict[str, Any]], **more: Any) -> dict[str, Any]:
    base = {"name": "a check", "ask": "What is it?", "how": ["Look."], "why": "To know.", "good for": "tank"}
    return {**base, "state": state, "minutes": minutes, "answers": answers, "look": "first", **more}


def shows(chances: dict[str, float], otherwise: float = 0.03, **more: Any) -> dict[str, Any]:
    return {"say": "it shows", "if": chances, "else": otherwise, **more}


FINE = {"say": "it is fine", "healthy": True}


def fault(area: str, weight: float, **more: Any) -> dict[str, Any]:
    mend = {"minutes": 2, "touches": [area], **more.pop("mend", {})}
    explains = {"loads-up": weight} if weight else {}
    base = {"name": "a fault", "area": area, "kind": "mechanical", "what": "It is broken.", "explains": explains}
    return {**base, "mend": mend, **more}


def screw(setting: str, weight: float, which: str = "low needle") -> dict[str, Any]:
    return {**fault("needles", weight), "kind": "screw", "screw": which, "setting": setting}


CHECKS = {
    "barrel": check(
        "parked",
        1,
        {"fine": FINE, "open": shows({"held-open": 0.9}, grounds="the throttle does not shut")},
        guard="barrel",
        name="barrel",
    ),
    "failsafe": check(
        "parked",
        1,
        {"fine": FINE, "stays open": shows({"no-fail-safe": 0.95}, grounds="the fail-safe does not shut it")},
        guard="fail-safe",
        name="fail-safe",
    ),
    "hold": check("parked", 2, {"fine": FINE, "bleeds": shows({"line-off": 0.9, "lid-leaks": 0.8})}, name="hold"),
    "soap": check("parked", 2, {"fine": FINE, "suds": shows({"lid-leaks": 0.9})}, name="soap"),
    "new-plug": check(
        "running on the stand",
        3,
        {"same": FINE, "cured": shows({"plug-tired": 0.9}, mends="plug-tired")},
        name="new plug",
    ),
    "bubbles": check("running on the stand", 0.5, {"fine": FINE, "bubbles": shows({"froth": 0.8})}, name="bubbles"),
    "pinch": check(
        "warm",
        1,
        {
            "short climb": FINE,
            "dies": shows({"low-lean": 0.8}, 0.05, sign={"low needle": "lean"}),
            "long climb": shows({"low-rich": 0.8}, 0.05, sign={"low needle": "rich"}),
        },
        name="pinch",
    ),
    "jet": check(
        "stripped", 8, {"fine": FINE, "grit": shows({"dirt": 0.8})}, look="strip", opens="carburettor", name="jet"
    ),
}

FAULTS = {
    "held-open": fault("linkage", 2, **{"first look": "always"}),
    "no-fail-safe": fault("linkage", 0),
    "line-off": fault(
        "tank",
        3,
        **{"first look": "always"},
    ),
    "lid-leaks": fault("tank", 3),
    "plug-tired": fault("ignition", 2),
    "froth": fault("fuel", 2),
    "dirt": fault("fuel", 6, **{"first look": "none"}, because="It is inside."),
    "low-rich": screw("rich", 6),
    "low-lean": screw("lean", 1),
}

for _name, _fault in FAULTS.items():
    _fault["mend"].setdefault("do", [f"Mend {_name}."])

ROUTE = {
    "outside": {"node": "sweep", "sweep": ["linkage", "tank", "fuel", "ignition"], "then": "pinch"},
    "pinch": {
        "node": "ask",
        "ask": "pinch",
        "branches": {"dies": "hand over", "short climb": "hand over", "long climb": "leaner"},
    },
    "leaner": {
        "node": "adjust",
        "adjust": "low needle",
        "way": "leaner",
        "hours": 1,
        "follow": MIND,
        "better": "strip",
        "same": "strip",
        "worse": "hand over",
    },
    "strip": {"node": "sweep", "sweep": ["fuel"], "look": "strip", "then": "again"},
    "again": {
        "node": "adjust",
        "adjust": "low needle",
        "way": "leaner",
        "hours": 1,
        "follow": MIND,
        "better": "hand over",
        "same": "hand over",
        "worse": "hand over",
    },
    "hand over": {"node": "refer", "refer": "Ask someone."},
}

BENCH = {
    "parked": 0,
    "plug out": 0.5,
    "running on the stand": 0.5,
    "warm": 0.5,
    "on the track": 1,
    "cooling": 0,
    "stripped": 5,
}


def raw() -> dict[str, Any]:
    """Return the little knowledge as plain data, to be changed by a test."""
    return {
        "checks": dict(CHECKS),
        "faults": dict(FAULTS),
        "symptoms": {
            "loads-up": {
                "name": "loads up",
                "when": "at idle",
                "does": "It loads up.",
                "sign": {"low needle": "rich"},
                "retest": {"do": ["Try it."], "minutes": 1, "state": "running on the stand"},
                "route": dict(ROUTE),
            }
        },
        "preparations": {
            "bring-to-heat": {"name": "bring to heat", "do": ["Warm it."], "minutes": 3, "state": "warm", "head": True},
            "let-it-idle": {"name": "let it idle", "do": ["Idle."], "minutes": 2, "state": "warm", "head": True},
            "let-it-cool": {"name": "let it cool", "do": ["Wait."], "minutes": 3, "state": "cooling"},
            "going-back": {
                "name": "go back to the record",
                "do": ["Go."],
                "minutes": 3,
                "state": "parked",
                "back": True,
            },
        },
        "history": {
            "changed": {
                "ask": "What changed?",
                "answers": {"nothing": FINE, "crash": shows({"held-open": 0.6}, 0.05)},
            }
        },
        "bench": {state: {"into": minutes, "out": minutes, "say": state} for state, minutes in BENCH.items()},
        "facts": {
            name: {"unit": "°C", "provenance": "common practice, no source", "value": celsius(value)}
            for name, value in {
                "warm-enough-to-look": 158,
                "head-floor": 180,
                "head-ceiling": 220,
                "head-come-in": 250,
                "head-stop": 270,
            }.items()
        },
    }


def knowledge(**changes: Any) -> Knowledge:
    """Return the little knowledge; `changes` replace whole kinds."""
    return msgspec.convert({**raw(), **changes}, Knowledge)


def start(known: Knowledge | None = None, *, symptom: str = "loads-up", **more: Any) -> Walk:
    """Begin a walk at time 0."""
    return begin(
        known or knowledge(), ev.Started(0.0, "", symptom, "blue truggy", more.pop("variant", Variant()), **more)
    )


def answer(walk: Walk, now: float = 0.0, sure: bool = True, **answers: str) -> Walk:
    """Answer checks unasked, one after another."""
    for check_id, said in answers.items():
        walk = walk.plus(ev.Answered(now, check_id.replace("_", "-"), said, sure))
    return walk


def current(walk: Walk, now: float = 0.0) -> Step:
    """Return the step, which there must be."""
    step = walk.step(now)
    assert step is not None
    return step


SOUND = {"barrel": "fine", "failsafe": "fine", "hold": "fine", "bubbles": "fine", "new_plug": "same"}
"""Healthy answers to every first look that the sweep owes."""


def in_no_doubt(walk: Walk, now: float = 0.0) -> Walk:
    """Answer all that could show a mechanical fault, healthy: what may miss twice, and what is inside too."""
    return answer(answer(walk, now, **SOUND, soap="fine", jet="fine"), now, bubbles="fine", new_plug="same")


def planned(walk: Walk, now: float = 0.0) -> Step:
    """Return the next step as if no look could miss: the hand-over that a second look would put off."""
    return walk.decision.planned(now)


def warm(walk: Walk, now: float = 0.0, head: float = 95.0) -> Walk:
    """Bring it to heat; `head` in °C."""
    step = walk.decision.steps.prepare("bring-to-heat", "")
    return walk.plus(walk.measure(step, head, now))
